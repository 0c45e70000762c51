import { useEffect, useState } from "preact/hooks";
import { thumbCacheEntries } from "../../constants";
import { useLive } from "../../store/live";
import { readPhotoStock } from "../../store/photos";
import { letThumbsGo, readThumbStock, type ThumbStock } from "../../store/thumbs";
import { fetchPhotosAhead, letSentPhotosGo, readStorage } from "../../sync/commands";
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
      <Thumbs />
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

/** Small pictures of the club's stones: how many are here, and a way to have them all before an evening out. */
function Thumbs() {
  const [stock, setStock] = useState<ThumbStock | null>(null);
  const [busy, setBusy] = useState(false);
  const [told, setTold] = useState<string | null>(null);
  const count = (): Promise<void> => readThumbStock().then(setStock, () => setStock(null));
  useEffect(() => void count(), []);
  const get = async (): Promise<void> => {
    setBusy(true);
    const { stopped, fetched, left } = await fetchPhotosAhead();
    setTold(
      stopped === "done" || stopped === "nothing_new" ? words.thumbsDone(fetched)
        : stopped === "no_room" ? words.thumbsNoRoom
        : stopped === "not_signed_in" ? words.thumbsNobody
        : words.thumbsTrouble(fetched, left),
    );
    setBusy(false);
    await count();
  };
  const letGo = async (): Promise<void> => {
    await letThumbsGo();
    setTold(null);
    await count();
  };
  if (stock === null) return null;
  return (
    <>
      <p>{words.thumbs(stock.count, megabytes(stock.bytes), thumbCacheEntries)}</p>
      <p class="note">{words.thumbsHow}</p>
      <div class="row">
        <button type="button" class="button" disabled={busy} onClick={() => void get()}>{busy ? words.thumbsGetting : words.thumbsGet}</button>
        {stock.count > 0 && <button type="button" class="button" onClick={() => void letGo()}>{words.thumbsGo}</button>}
      </div>
      {told !== null && !busy && <p role="status">{told}</p>}
    </>
  );
}
