import { useId, useRef, useState } from "preact/hooks";
import { RulerScale } from "./index";
import { gradeAt, gradeText, position, snap, stepCount, stepFrom, wordsAt, type Scale, type Track } from "./geometry";
import { ruler as say } from "../../words/parts";
import styles from "./style.module.css";

export interface GradeInputProps {
  readonly scale: Scale;
  readonly name: string;
  /** The words of each whole level, keyed "1", "2", … as the protocol has them. */
  readonly words: Readonly<Record<string, string>>;
  /** `null` until the tester sets one: an untouched scale must never look like an answer. */
  readonly value: number | null;
  readonly onSet: (value: number) => void;
}

const track: Track = { length: 360, inset: 24 };
const height = 88;
const rail = 50;

/** A touch that slides this far is meant: along the scale it is a drag, across it it is a scroll. */
const dragPx = 6;

/**
 * The grade ruler as an input: tap or drag anywhere on it, then fine-tune by a step with the thumb.
 *
 * A finger that lands here while scrolling must not leave a grade behind. So nothing is set on
 * touch-down: a tap sets on release, a drag from its first real movement, and a touch that first
 * moves across the scale, or that the browser turns into scrolling (pointercancel), sets nothing.
 */
export function GradeInput({ scale, name, words, value, onSet }: GradeInputProps) {
  const id = useId();
  const svg = useRef<SVGSVGElement>(null);
  const touch = useRef<{ id: number; x: number; y: number; dragging: boolean } | null>(null);
  const [hover, setHover] = useState<number | null>(null);
  const [showAll, setShowAll] = useState(false);

  const meant = (clientX: number): number => {
    const box = svg.current?.getBoundingClientRect();
    if (!box || box.width === 0) return scale.low;
    return gradeAt(((clientX - box.left) / box.width) * track.length, scale, track);
  };

  const down = (event: PointerEvent): void => {
    if (event.button !== 0) return;
    touch.current = { id: event.pointerId, x: event.clientX, y: event.clientY, dragging: false };
    (event.currentTarget as Element).setPointerCapture(event.pointerId);
  };
  const move = (event: PointerEvent): void => {
    if (event.pointerType === "mouse") setHover(meant(event.clientX));
    const now = touch.current;
    if (!now || now.id !== event.pointerId) return;
    const across = Math.abs(event.clientY - now.y);
    const along = Math.abs(event.clientX - now.x);
    if (!now.dragging && across >= dragPx && across > along) {
      touch.current = null;
      return;
    }
    if (!now.dragging && along < dragPx) return;
    now.dragging = true;
    const next = meant(event.clientX);
    if (next !== value) onSet(next);
  };
  const up = (event: PointerEvent): void => {
    if (touch.current?.id === event.pointerId) onSet(meant(event.clientX));
    touch.current = null;
  };
  const cancel = (): void => { touch.current = null; };

  const key = (event: KeyboardEvent): void => {
    const last = scale.low + stepCount(scale) * scale.step;
    const next: Record<string, () => number> = {
      ArrowRight: () => stepFrom(value, 1, scale),
      ArrowUp: () => stepFrom(value, 1, scale),
      ArrowLeft: () => stepFrom(value, -1, scale),
      ArrowDown: () => stepFrom(value, -1, scale),
      PageUp: () => snap((value ?? scale.low) + 1, scale),
      PageDown: () => snap((value ?? last) - 1, scale),
      Home: () => scale.low,
      End: () => last,
    };
    const wanted = next[event.key];
    if (!wanted) return;
    event.preventDefault();
    onSet(wanted());
  };

  const spoken = value === null ? say.notSet : `${gradeText(value, scale.step)}, ${plainWords(value, words)}`;
  const shown = value ?? hover;

  return (
    <div class={styles.input}>
      <div class={styles.head}>
        <h2 class={styles.name} id={`${id}-name`}>{name}</h2>
        {value === null
          ? <span class={`${styles.value} ${styles.unset}`}>{say.tapToSet}</span>
          : <output class={styles.value}>{gradeText(value, scale.step)}</output>}
      </div>

      <div
        class={styles.touch}
        role="slider"
        tabIndex={0}
        aria-labelledby={`${id}-name`}
        aria-valuemin={scale.low}
        aria-valuemax={scale.high}
        aria-valuenow={value ?? scale.low}
        aria-valuetext={spoken}
        onPointerDown={down}
        onPointerMove={move}
        onPointerUp={up}
        onPointerCancel={cancel}
        onPointerLeave={() => setHover(null)}
        onKeyDown={key}
      >
        <svg ref={svg} viewBox={`0 0 ${track.length} ${height}`} aria-hidden="true">
          <RulerScale scale={scale} track={track} rail={rail} whole={16} half={9} levels big />
          {shown !== null && <InputNotch x={position(shown, scale, track)} set={value !== null} />}
        </svg>
      </div>

      {value === null
        ? (
          <p class={styles.ends}>
            <span>{words[String(scale.low)]}</span>
            <span>{words[String(scale.high)]}</span>
          </p>
        )
        : <LevelWords value={value} words={words} />}

      <div class={styles.foot}>
        {value !== null && (
          <button
            type="button"
            class={styles.nudge}
            aria-label={say.lower(scale.step, name)}
            disabled={value <= scale.low}
            onClick={() => onSet(stepFrom(value, -1, scale))}
          >
            −{stepText(scale.step)}
          </button>
        )}
        <button type="button" class={styles.all} aria-expanded={showAll} onClick={() => setShowAll(!showAll)}>
          {showAll ? say.fewerLevels : say.allLevels}
        </button>
        {value !== null && (
          <button
            type="button"
            class={styles.nudge}
            aria-label={say.higher(scale.step, name)}
            disabled={value >= scale.low + stepCount(scale) * scale.step}
            onClick={() => onSet(stepFrom(value, 1, scale))}
          >
            +{stepText(scale.step)}
          </button>
        )}
      </div>
      {showAll && (
        <dl class={styles.levels}>
          {Object.entries(words).sort(([a], [b]) => Number(a) - Number(b)).map(([level, text]) => (
            <div key={level}>
              <dt>{level}</dt>
              <dd>{text}</dd>
            </div>
          ))}
        </dl>
      )}
    </div>
  );
}

function InputNotch({ x, set }: { x: number; set: boolean }) {
  const points = `${x},${rail} ${x + 13},${rail + 30} ${x - 13},${rail + 30}`;
  return <polygon class={set ? styles.thumb : styles.open} points={points} />;
}

/** The level's own words, or those of both levels that a half step lies between. */
function LevelWords({ value, words }: { value: number; words: Readonly<Record<string, string>> }) {
  const here = wordsAt(value, words);
  if (here.kind === "none") return null;
  if (here.kind === "level") return <p class={styles.words}>{here.text}</p>;
  return (
    <dl class={`${styles.levels} ${styles.words}`}>
      <div><dt>{Math.floor(value)}</dt><dd>{here.below}</dd></div>
      <div><dt>{Math.ceil(value)}</dt><dd>{here.above}</dd></div>
    </dl>
  );
}

const stepText = (step: number): string => (step === 0.5 ? "½" : String(step));

function plainWords(value: number, words: Readonly<Record<string, string>>): string {
  const here = wordsAt(value, words);
  if (here.kind === "level") return here.text;
  return here.kind === "between" ? `${say.between} ${here.below} ${say.and} ${here.above}` : "";
}
