import type { ComponentChildren } from "preact";
import { Outline } from "../../parts/StoneFace";
import styles from "./style.module.css";

const stone = { length_mm: 210, width_mm: 75, thickness_mm: 22, form: "bench" };

/** Room around the stone, in its own millimetres. */
const box = "-16 -34 242 136";

const Frame = (props: { label: string; children: ComponentChildren }) => (
  <svg class={styles.drawing} viewBox={box} role="img" aria-label={props.label}>{props.children}</svg>
);

export const TrialDrawing = ({ label }: { label: string }) => (
  <Frame label={label}>
    <Outline stone={stone} face="front" />
    <g transform="translate(88 40) rotate(-38)">
      <path class={styles.blade} d="M-74 -13H52q22 2 30 13v13H-74Z" />
      <path class={styles.bevel} d="M-74 6H81v7H-74Z" />
      <path class={styles.handle} d="M-74 -13v26h-46q-6 0-6-6V-7q0-6 6-6Z" />
    </g>
    <path class={styles.stroke} d="M198 90H92m0 0 9-6m-9 6 9 6M198 90l-9-6m9 6-9 6" />
  </Frame>
);

export const WetDrawing = ({ label }: { label: string }) => (
  <Frame label={label}>
    <Outline stone={stone} face="front">
      <path class={styles.film} d="M18 40C16 16 60 10 104 12s86 4 90 26-38 28-88 27S20 62 18 40Z" />
      <path class={styles.mud} d="M58 44c8-10 20-4 32-8s20-8 30-2 30 0 34 8-16 12-34 10-24 8-38 4-32-2-24-12Z" />
    </Outline>
    <path class={styles.drop} d="M106 -30C113 -19 119 -12 119 -4a13 13 0 0 1-26 0c0-8 6-15 13-26Z" />
  </Frame>
);

export const BladeDrawing = ({ label }: { label: string }) => (
  <Frame label={label}>
    <path class={styles.blade} d="M-10 4H196q22 4 28 22v18H-10Z" />
    <path class={styles.bevel} d="M-10 34H224v20H-10Z" />
    <clipPath id="loupe"><circle cx="104" cy="40" r="44" /></clipPath>
    <circle class={styles.glass} cx="104" cy="40" r="44" />
    <g clip-path="url(#loupe)">
      <path class={styles.bevel} d="M50 22H160V70H50Z" />
      {Array.from({ length: 17 }, (_, i) => (
        <line key={i} class={styles.scratch} x1={57 + i * 6} x2={57 + i * 6} y1={22} y2={70} />
      ))}
    </g>
    <circle class={styles.rim} cx="104" cy="40" r="44" />
    <path class={styles.grip} d="M137 71 166 98" />
  </Frame>
);

export const SignalDrawing = ({ label }: { label: string }) => (
  <Frame label={label}>
    <rect class={styles.phone} x="6" y="-26" width="66" height="118" rx="7" />
    {[-8, 18, 44].map((y) => <rect key={y} class={styles.record} x="16" y={y} width="46" height="19" rx="2" />)}
    <path class={styles.stroke} d="M82 33h18m-7-6 7 6-7 6" />
    <path class={styles.stroke} d="M110 24v18m12-18v18" />
    <path class={styles.stroke} d="M134 33h20m-7-6 7 6-7 6" />
    <path class={styles.house} d="M166 92V16l24-20 24 20v76Z" />
    <rect class={styles.record} x="178" y="38" width="24" height="10" />
    <rect class={styles.record} x="178" y="56" width="24" height="10" />
  </Frame>
);
