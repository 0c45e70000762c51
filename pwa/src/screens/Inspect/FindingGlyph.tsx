import type { FindingKind } from "../../domain/records";
import styles from "./style.module.css";

/** The same shape as on the face, small, beside the kind's word. */
export function FindingGlyph({ kind }: { kind: FindingKind }) {
  return <svg class={styles.glyph} viewBox="0 0 24 24" aria-hidden="true">{shapes[kind]}</svg>;
}

const line = { fill: "none", stroke: "currentColor", "stroke-width": 2.25, "stroke-linejoin": "round", "stroke-linecap": "round" } as const;

const shapes = {
  fissure: <path {...line} d="M2 19 8 13l3 2 6-8 5-3" />,
  inclusion: <path fill="currentColor" d="M12 4l8 8-8 8-8-8Z" />,
  line: <path {...line} stroke-dasharray="4 4" d="M2 16 22 8" />,
  chip: <path fill="currentColor" d="M3 7h18l-9 12Z" />,
  soft_spot: <g {...line}><circle cx="12" cy="12" r="9" /><circle cx="12" cy="12" r="4" /></g>,
  stain: <circle {...line} stroke-dasharray="0.5 5" cx="12" cy="12" r="8.5" />,
} as const;
