import { useEffect, useState } from "preact/hooks";
import { useLive } from "../../store/live";
import { readPhotoStock } from "../../store/photos";
import { letSentPhotosGo, readStorage } from "../../sync/commands";
import { me as words } from "../../words/me";

type Room = Awaited<ReturnType<typeof readStorage>>;

const megabytes = (bytes: number): string =>
  bytes >= 1e9 ? `${(bytes / 1e9).toFixed(1)} GB` : `${(bytes / 1e6).toFixed(1)} MB`;

/** How much room the app takes, and whether the browser promises to keep it. */
export function Storage({ full }: { readonly full: boolean }) {
  const [room, setRoom] = useState<Room | undefined>();
  useEffect(() => void readStorage().then(setRoom, () => setRoom(null)), []);
  if (room === undefined) return null;
  return (
    <section class={`sheet ${full ? "needs-you" : ""}`}>
      <h2>{words.phone}</h2>
      {full ? <p>{words.full}</p> : null}
      {room === null ? (
        <p>{words.unknownStorage}</p>
      ) : (
        <>
          <p>{words.used(megabytes(room.usedBytes), megabytes(room.roomBytes))}</p>
          <p class="soft">{room.persisted ? words.persisted : words.notPersisted}</p>
        </>
      )}
      <Photos />
    </section>
  );
}

/** Photos taken here: what could go, and what is needed. */
function Photos() {
  const stock = useLive(() => readPhotoStock(), []);
  if (stock === undefined || stock.sent.count + stock.needed.count === 0) return null;
  const { sent, needed } = stock;
  return (
    <>
      {sent.count > 0 && <p>{words.photosSent(sent.count, megabytes(sent.bytes))}</p>}
      {needed.count > 0 && <p>{words.photosNeeded(needed.count, megabytes(needed.bytes))}</p>}
      {sent.count > 0 && (
        <div>
          <button type="button" class="button" onClick={() => letSentPhotosGo()}>{words.photosGo}</button>
        </div>
      )}
    </>
  );
}
