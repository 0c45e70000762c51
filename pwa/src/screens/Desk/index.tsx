import { useLocation } from "preact-iso";
import { useEffect, useMemo, useState } from "preact/hooks";
import {
  countStates, decisionsOf, isAmong, laidOver, standings, type DeskStone, type OfferState, type StandingName, type Wanted,
} from "../../domain/board";
import { usualCurrency } from "../../domain/board_acts";
import type { Purpose } from "../../domain/records";
import { Choice } from "../../parts/Choice";
import { LongList } from "../../parts/LongList";
import { Head, Page } from "../../parts/Page";
import { useLive } from "../../store/live";
import { desk as say } from "../../words/desk";
import { age, kinds, purposes } from "../../words/trade";
import { matches } from "../Stones/state";
import { Acts } from "./Acts";
import { Decide, Places } from "./Decide";
import { Narrow } from "./Narrow";
import { OneStone } from "./OneStone";
import { Piles } from "./Piles";
import { readDesk, readFaces, readHere, type DeskBase } from "./read";
import { Row } from "./Row";
import styles from "./style.module.css";
import { holderText } from "./text";
import { useBoard, type BoardView } from "./useBoard";

/** Two lines for what stands in the way on a phone; beside the rest where there is room. */
const rowRem = { narrow: 7.75, wide: 5.5 } as const;

type Query = Readonly<Record<string, string | undefined>>;

/** The dealer's desk: what asks for a decision, then where every stone stands. */
export function Desk() {
  const { query } = useLocation();
  const base = useLive(readDesk, []);
  if (base === undefined) return <Page wide><p class="soft">{say.reading}</p></Page>;
  if (!base.mayDeal) return <Page><Head back={{ href: "/", words: say.bench }} title={say.title} /><p>{say.notForYou}</p></Page>;
  const wanted = query["purpose"] as Purpose | undefined;
  const purpose = wanted !== undefined && base.purposes.includes(wanted) ? wanted : base.purposes[0];
  if (purpose === undefined) return <Page wide><Head title={say.title} /><p>{say.noPurpose}</p><Places /></Page>;
  return <OnePurpose key={purpose} base={base} purpose={purpose} />;
}

function wantedOf(query: Query): Wanted {
  const named = (query["state"] ?? "").split(",");
  return {
    states: new Set(standings.filter((state) => named.includes(state))),
    offer: (query["offer"] ?? "") as OfferState | "none" | "",
    lot: query["lot"] ?? "",
    kind: query["kind"] ?? "",
    holder: query["holder"] ?? "",
    only: (query["only"] ?? "") as Wanted["only"],
  };
}

function hrefOf(query: Query): string {
  const set = Object.entries(query).filter((pair): pair is [string, string] => pair[1] !== undefined && pair[1] !== "");
  return `/desk${set.length > 0 ? `?${new URLSearchParams(set).toString()}` : ""}`;
}

function OnePurpose({ base, purpose }: { readonly base: DeskBase; readonly purpose: Purpose }) {
  const { query, route } = useLocation();
  const view = useBoard(purpose);
  const here = useLive(() => readHere(purpose), [purpose]);
  const faces = useLive(readFaces, []);
  const [chosen, setChosen] = useState<ReadonlySet<string>>(new Set());
  const [acting, setActing] = useState<readonly DeskStone[] | null>(null);
  const kept = view?.kept ?? null;
  const wide = useWide();

  const rows = useMemo(
    () => (kept === null || here === undefined ? null : laidOver(kept.answer, { ...here, stones: base.stones }, say.keptBack)),
    [kept, here, base],
  );
  const search = query["q"] ?? "";
  const wanted = useMemo(() => wantedOf(query), [query]);
  const among = useMemo(() => {
    const lots = new Map(base.lots.map((lot) => [lot.id, lot]));
    return (rows ?? []).filter((row) => {
      const lot = lots.get(row.stone.lot_id);
      return isAmong(row, wanted) && matches(search, [row.stone.code, kinds[row.stone.kind], lot?.name ?? "", lot?.code ?? ""]);
    });
  }, [rows, wanted, search, base]);
  const shown = useMemo(() => (wanted.states.size === 0 ? among : among.filter((row) => wanted.states.has(row.state))), [among, wanted]);

  const own = { purpose: base.purposes.length > 1 ? purpose : undefined };
  const change = (changes: Query): void => route(hrefOf({ ...query, ...changes }), true);
  const toggle = (state: StandingName): void => {
    const next = standings.filter((one) => (one === state ? !wanted.states.has(one) : wanted.states.has(one)));
    change({ state: next.join(",") });
  };
  const choose = (id: string, is: boolean): void => {
    const next = new Set(chosen);
    if (is) next.add(id);
    else next.delete(id);
    setChosen(next);
  };
  const opened = rows?.find((row) => row.stone_id === query["stone"]) ?? null;
  const chosenRows = (rows ?? []).filter((row) => chosen.has(row.stone_id));
  const hidden = chosenRows.length - shown.filter((row) => chosen.has(row.stone_id)).length;
  const kindsHere = [...new Set(base.stones.map(({ record }) => record.kind))].sort();
  const holders = base.active.filter((member) => (rows ?? []).some((row) => row.holder_id === member.id));
  const place = hrefOf({ ...query, stone: undefined });

  const bar = chosenRows.length === 0 ? undefined : (
    <>
      <button type="button" class="button" onClick={() => setChosen(new Set())}>{say.unchoose}</button>
      <button type="button" class="button button-main" onClick={() => setActing(chosenRows)}>{say.acts(chosenRows.length, hidden)}</button>
    </>
  );
  return (
    <Page wide actions={bar}>
      <header class="stack">
        <div class="spread">
          <h1>{say.title}</h1>
          <Freshness view={view} />
        </div>
        {base.purposes.length > 1 && (
          <Choice
            name={say.purpose} hideName lay="strip"
            options={base.purposes.map((value) => ({ value, words: purposes[value] }))}
            value={purpose}
            onChoose={(value) => route(hrefOf({ ...query, purpose: value, stone: undefined }), true)}
          />
        )}
      </header>
      {rows !== null && (
        <section class="stack" aria-label={say.decisions}>
          <Decide decisions={decisionsOf(rows)} hrefOf={(some) => hrefOf({ ...own, ...some })} />
        </section>
      )}
      <Places />
      {kept === null && view !== undefined && view.asked !== null && <p>{say.none}</p>}
      {rows !== null && (
        <section class="stack" aria-label={say.board}>
          <div class="spread">
            <h2>{say.board}</h2>
            <span class="soft figures" role="status">{say.count(shown.length, rows.length)}</span>
          </div>
          <Piles counts={countStates(among)} chosen={wanted.states} onToggle={toggle} />
          <Narrow wanted={wanted} search={search} lots={base.lots} kinds={kindsHere} holders={holders} onChange={change} />
          {shown.length === 0
            ? (
              <p class="row">
                {say.noneFits}
                <a class="button" href={hrefOf(own)}>{say.clear}</a>
              </p>
            )
            : (
              <div class="row">
                <button
                  type="button" class="button"
                  onClick={() => setChosen(new Set([...chosen, ...shown.map((row) => row.stone_id)]))}
                >
                  {say.chooseAll(shown.length)}
                </button>
              </div>
            )}
          <LongList
            name="desk"
            label={say.list}
            place={place}
            rowRem={wide ? rowRem.wide : rowRem.narrow}
            rows={shown}
            keyOf={(row) => row.stone_id}
            draw={(row) => (
              <Row
                row={row}
                lot={base.lots.find((lot) => lot.id === row.stone.lot_id)?.name ?? ""}
                holder={holderText(row, base)}
                face={faces?.get(row.stone_id)}
                href={hrefOf({ ...query, stone: row.stone_id })}
                chosen={chosen.has(row.stone_id)}
                onChoose={(is) => choose(row.stone_id, is)}
              />
            )}
          />
        </section>
      )}
      {opened !== null && acting === null && (
        <OneStone row={opened} base={base} purpose={purpose} onActs={() => setActing([opened])} onClose={() => change({ stone: undefined })} />
      )}
      {acting !== null && (
        <Acts rows={acting} base={base} purpose={purpose} currency={usualCurrency((here?.offers ?? []).map(({ record }) => record))} onDone={() => setChosen(new Set())} onClose={() => setActing(null)} />
      )}
    </Page>
  );
}

/** The same border as in the style sheets. */
const wideQuery = "(min-width: 60rem)";

function useWide(): boolean {
  const [wide, setWide] = useState(() => matchMedia(wideQuery).matches);
  useEffect(() => {
    const media = matchMedia(wideQuery);
    const look = (): void => setWide(media.matches);
    media.addEventListener("change", look);
    return () => media.removeEventListener("change", look);
  }, []);
  return wide;
}

/** How fresh the board is, and what to do when it could not be renewed. */
function Freshness({ view }: { readonly view: BoardView | undefined }) {
  if (view === undefined) return null;
  const { kept, asked } = view;
  const trouble = asked === null || asked === "here" ? null : say.trouble[asked] ?? null;
  const behind = asked === "here" && kept?.answer.behind === true;
  return (
    <p class={styles.fresh} role="status">
      {kept !== null && <span>{asked === "here" ? say.fromService : say.fromPhone(age(kept.read_at, Date.now()))}</span>}
      {behind && <span>{say.behind}</span>}
      {asked === null && <span>{say.asking}</span>}
      {trouble !== null && <span>{trouble}</span>}
      {asked === "signed_out" && <a class="button" href="/sign-in">{say.signIn}</a>}
      {((trouble !== null && asked !== "signed_out") || behind) && <button type="button" class="button" onClick={view.again}>{say.again}</button>}
    </p>
  );
}
