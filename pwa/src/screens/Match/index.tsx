import { useEffect, useState } from "preact/hooks";
import { sameWish, toWish, waivedOf, type Values } from "../../domain/match";
import type { MatchWish } from "../../domain/records";
import { Head, Page } from "../../parts/Page";
import { useLive } from "../../store/live";
import { askMatch, askSteels, type Answered } from "../../sync/match";
import { match as say } from "../../words/match";
import { useDraftForm, type DraftForm } from "../useDraftForm";
import { Answer } from "./Answer";
import { Lists } from "./Lists";
import { readMatchView, type MatchView } from "./read";
import styles from "./style.module.css";
import { Wish } from "./Wish";

export { Shortlist } from "./Shortlist";

const draft = { key: "match", kind: "match", about_id: "" };

/** A buyer at the counter: the wish in the buyer's words, the stones that meet it, and a list to take along. */
export function Match() {
  const view = useLive(readMatchView, []);
  const form = useDraftForm(draft);
  useEffect(() => {
    if (view?.mayDeal === true) void askSteels();
  }, [view?.mayDeal]);
  if (view === undefined || form === undefined) return <Page><p class="soft">{say.reading}</p></Page>;
  const head = <Head back={{ href: "/desk", words: say.back }} title={say.title}><p class="soft">{say.lead}</p></Head>;
  if (!view.mayDeal) return <Page><Head back={{ href: "/", words: say.back }} title={say.title} /><p>{say.notForYou}</p></Page>;
  if (view.steels === null) return <Page>{head}<p role="status">{say.steelsNeeded}</p></Page>;
  return <Page wide>{head}<Counter view={view} form={form} /></Page>;
}

function Counter({ view, form }: { readonly view: MatchView; readonly form: DraftForm }) {
  const [asked, setAsked] = useState<Answered | "asking" | null>(null);
  const values: Values = { currency: view.currency, ...form.values };
  const ready = toWish(values);

  const find = async (wish: MatchWish): Promise<void> => {
    setAsked("asking");
    form.set({ chosen: undefined, waived: wish.waived.length === 0 ? undefined : wish.waived });
    setAsked(await askMatch(wish));
  };
  const shown = view.last !== null && form.draft !== null ? view.last : null;

  return (
    <>
      <div class={styles.columns}>
        <form
          class="stack"
          noValidate
          onSubmit={(event) => {
            event.preventDefault();
            if ("wish" in ready) void find({ ...ready.wish, waived: [] });
          }}
        >
          {view.steels && <Wish values={values} steels={view.steels} purposes={view.purposes} onSet={form.set} />}
          {form.trouble !== null && <p class="sheet needs-you" role="alert">{say.kept(form.trouble)}</p>}
          {"why" in ready && <p class="note">{typeof ready.why === "string" ? say.why[ready.why] : ready.why.grit}</p>}
          <div class="row">
            <button type="submit" class="button button-main" disabled={"why" in ready || asked === "asking"}>
              {asked === "asking" ? say.finding : say.find}
            </button>
            {form.draft !== null && (
              <button type="button" class="button button-plain" onClick={() => { setAsked(null); void form.drop(); }}>{say.clear}</button>
            )}
          </div>
          <Trouble asked={asked} />
        </form>
        {shown !== null && (
          <Answer
            kept={shown}
            stale={!("wish" in ready) || !sameWish({ ...ready.wish, waived: waivedOf(values) }, shown.wish)}
            fresh={asked !== null && asked !== "asking" && asked.kind === "here"}
            values={values}
            form={form}
            onFind={(waived) => { if ("wish" in ready) void find({ ...ready.wish, waived }); }}
          />
        )}
      </div>
      <Lists lists={view.lists} />
    </>
  );
}

function Trouble({ asked }: { readonly asked: Answered | "asking" | null }) {
  if (asked === null || asked === "asking" || asked.kind === "here") return <div role="status" />;
  return (
    <div class="sheet needs-you" role="alert">
      <p>{say.trouble[asked.kind] ?? ""}{asked.detail === "" ? "" : ` ${asked.detail}`}</p>
      {asked.kind === "signed_out" && <p><a class="button" href="/sign-in">{say.signIn}</a></p>}
    </div>
  );
}
