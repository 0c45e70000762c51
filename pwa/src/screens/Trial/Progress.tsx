import styles from "./style.module.css";

/** How far along: the same rail and notch as a grade ruler, with a tick for each step. */
export function Progress({ at, of }: { at: number; of: number }) {
  const x = (i: number): number => 6 + (of < 2 ? 0 : (i / (of - 1)) * 388);
  return (
    <svg class={styles.progress} viewBox="0 0 400 22" preserveAspectRatio="xMinYMid meet" aria-hidden="true">
      <rect class={styles.gone} x={x(0)} y="8" width={Math.max(0, x(at) - x(0))} height="6" />
      <line class={styles.rail} x1={x(0)} x2={x(of - 1)} y1="8" y2="8" />
      {Array.from({ length: of }, (_, i) => <line key={i} class={styles.mark} x1={x(i)} x2={x(i)} y1="8" y2="1" />)}
      <polygon class={styles.notch} points={`${x(at)},8 ${x(at) + 6},21 ${x(at) - 6},21`} />
    </svg>
  );
}
