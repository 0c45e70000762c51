import { useEffect, useRef, useState } from "preact/hooks";
import { clockText, elapsedS, isNewStroke, leftS } from "./clock";
import { timing as say } from "../../words/parts";
import styles from "./style.module.css";

/** A short buzz where the device has one; iPhones have none for web pages. */
function buzz(pattern: number | number[]): void {
  if ("vibrate" in navigator) navigator.vibrate(pattern);
}

/** Re-draws a running timer; the time itself comes from the stored start, not from counting ticks. */
function useNow(running: boolean): number {
  const [now, setNow] = useState(() => Date.now());
  useEffect(() => {
    if (!running) return;
    setNow(Date.now());
    const timer = setInterval(() => setNow(Date.now()), 250);
    return () => clearInterval(timer);
  }, [running]);
  return now;
}

/** Measures how long something takes: start, then stop when it has happened. */
export function Stopwatch(props: {
  /** When it was started (epoch ms); kept by the caller, so that it survives a reload. */
  startedAt: number | null;
  /** The measured time, once stopped. */
  seconds: number | null;
  startWords: string;
  stopWords: string;
  onStart: (atMs: number) => void;
  onStop: (seconds: number) => void;
  onAgain: () => void;
}) {
  const running = props.startedAt !== null;
  const now = useNow(running);
  const shown = props.startedAt !== null ? elapsedS(props.startedAt, now) : props.seconds;
  return (
    <div class={styles.timer}>
      <p class={styles.figure} aria-live="off">
        {shown === null ? "–" : shown}
        <span class={styles.unit}>s</span>
      </p>
      {props.startedAt !== null
        ? (
          <button
            type="button"
            class={`${styles.go} ${styles.running}`}
            onClick={() => props.onStop(elapsedS(props.startedAt ?? Date.now(), Date.now()))}
          >
            {props.stopWords}
          </button>
        )
        : props.seconds === null
          ? <button type="button" class={styles.go} onClick={() => props.onStart(Date.now())}>{props.startWords}</button>
          : <button type="button" class={styles.again} onClick={props.onAgain}>{say.again}</button>}
    </div>
  );
}

/** Counts a stated working time down and says when it is over. */
export function Countdown(props: { startedAt: number | null; lengthS: number; onStart: (atMs: number) => void; onClear: () => void }) {
  const { startedAt, lengthS } = props;
  const buzzed = useRef(false);
  const now = useNow(startedAt !== null);
  const left = startedAt === null ? lengthS : leftS(startedAt, lengthS, now);
  const done = startedAt !== null && left === 0;
  useEffect(() => {
    // Only the moment itself buzzes, not every later look at a timer that ended long ago.
    if (done && !buzzed.current && Date.now() - startedAt < lengthS * 1000 + 3000) buzz([200, 100, 200]);
    buzzed.current = done;
  }, [done, lengthS, startedAt]);
  const share = startedAt === null ? 0 : 1 - left / lengthS;
  return (
    <div class={`${styles.timer} ${done ? styles.done : ""}`}>
      <p class={styles.figure}>{clockText(left)}</p>
      <svg class={styles.track} viewBox="0 0 100 6" preserveAspectRatio="none" aria-hidden="true">
        <rect class={styles.trackAll} width="100" height="6" />
        <rect class={styles.trackGone} width={100 * share} height="6" />
      </svg>
      <p class={styles.say} aria-live="polite">{done ? say.timeUp : startedAt !== null ? say.running : say.workFor(clockText(lengthS))}</p>
      {startedAt === null
        ? <button type="button" class={styles.go} onClick={() => props.onStart(Date.now())}>{say.startTimer}</button>
        : <button type="button" class={styles.again} onClick={props.onClear}>{say.resetTimer}</button>}
    </div>
  );
}

/** Counts strokes: one large field that a knuckle can hit without looking. */
export function StrokeCounter(props: { name: string; count: number; target: number | null; onCount: (count: number) => void }) {
  const last = useRef<number | null>(null);
  const stroke = (): void => {
    const now = Date.now();
    if (!isNewStroke(last.current, now)) return;
    last.current = now;
    const next = props.count + 1;
    buzz(next === props.target ? [120, 60, 120] : 15);
    props.onCount(next);
  };
  const reached = props.target !== null && props.count >= props.target;
  return (
    <div class={styles.counter}>
      <button
        type="button"
        class={`${styles.knock} ${reached ? styles.reached : ""}`}
        // pointerdown, because a knuckle slides: by the time it lifts, the browser may call it a scroll.
        onPointerDown={(event) => { if (event.button === 0) stroke(); }}
        onKeyDown={(event) => {
          if ((event.key === " " || event.key === "Enter") && !event.repeat) {
            event.preventDefault();
            stroke();
          }
        }}
      >
        <span class={styles.count}>{props.count}</span>
        <span class={styles.of}>{props.target === null ? props.name : say.ofTarget(props.target, props.name)}</span>
        <span class={styles.say}>{reached ? say.enough : say.knock}</span>
      </button>
      <div class={styles.under}>
        <button type="button" class={styles.again} disabled={props.count === 0} onClick={() => props.onCount(Math.max(0, props.count - 1))}>{say.oneBack}</button>
        <button type="button" class={styles.again} disabled={props.count === 0} onClick={() => props.onCount(0)}>{say.fromZero}</button>
      </div>
    </div>
  );
}
