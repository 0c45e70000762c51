import { useEffect, useRef, useState } from "preact/hooks";
import { scanner as say } from "../../words/parts";
import { makeReader } from "./reader";
import styles from "./style.module.css";

/** Between two looks at the picture: quick for the hand, and the phone stays cool. */
const betweenLooksMs = 160;

const troubleOf = (error: unknown): string =>
  error instanceof DOMException && (error.name === "NotAllowedError" || error.name === "SecurityError") ? say.notAllowed : say.noCamera;

/** The camera's picture until a QR code is in it. The same code is reported once, however long it is held there. */
export function Scanner(props: { onRead: (text: string) => void; onClose: () => void; told: string | null }) {
  const video = useRef<HTMLVideoElement>(null);
  const close = useRef<HTMLButtonElement>(null);
  const [trouble, setTrouble] = useState<string | null>(null);
  const onRead = useRef(props.onRead);
  onRead.current = props.onRead;

  useEffect(() => {
    close.current?.focus();
    let stream: MediaStream | null = null;
    let timer: ReturnType<typeof setTimeout> | undefined;
    let over = false;
    const stop = (): void => stream?.getTracks().forEach((track) => track.stop());
    const start = async (): Promise<void> => {
      const [opened, read] = await Promise.all([
        navigator.mediaDevices.getUserMedia({ video: { facingMode: "environment" }, audio: false }), makeReader(),
      ]);
      stream = opened;
      const picture = video.current;
      if (over || picture === null) {
        stop();
        return;
      }
      picture.srcObject = stream;
      await picture.play();
      let last: string | null = null;
      const look = async (): Promise<void> => {
        const text = await read(picture).catch(() => null);
        // The effect's end may have come while the picture was read.
        if (over) return;
        if (text !== null && text !== last) onRead.current(text);
        last = text ?? last;
        timer = setTimeout(() => void look(), betweenLooksMs);
      };
      await look();
    };
    void start().catch((error: unknown) => {
      stop();
      if (!over) setTrouble(troubleOf(error));
    });
    return () => {
      over = true;
      clearTimeout(timer);
      stop();
    };
  }, []);

  return (
    <section class="sheet" aria-label={say.title} onKeyDown={(event) => { if (event.key === "Escape") props.onClose(); }}>
      {trouble === null ? <video ref={video} class={styles.picture} muted playsInline aria-label={say.picture} /> : <p role="alert">{trouble}</p>}
      <p class="soft" role="status">{props.told ?? (trouble === null ? say.hold : "")}</p>
      <button type="button" ref={close} class="button" onClick={props.onClose}>{say.close}</button>
    </section>
  );
}
