import type { ComponentChildren } from "preact";
import { useEffect, useState } from "preact/hooks";
import { Head, Page } from "../parts/Page";
import { change as say } from "../words/change";
import { changeKey } from "./changeKey";
import { useDraftForm, type DraftForm, type Start } from "./useDraftForm";

interface Changing {
  readonly kind: "trial" | "inspection" | "stone";
  readonly stoneId: string;
  readonly recordId: string;
  readonly children: (form: DraftForm) => ComponentChildren;
}

/**
 * A form filled with a record that is there already. `find` gives what the form begins with, or says why it cannot
 * begin; it is asked once for each record, because news of it must not reset a form that somebody is filling in.
 */
export function ChangeRecord(props: Changing & { readonly find: () => Promise<Start | { readonly cannot: string }> }) {
  const { stoneId, recordId, find } = props;
  const [found, setFound] = useState<Awaited<ReturnType<typeof find>> | null>(null);
  useEffect(() => {
    let current = true;
    void find().then((next) => {
      if (current) setFound(next);
    });
    return () => { current = false; };
    // eslint-disable-next-line react-hooks/exhaustive-deps -- once for each record
  }, [recordId]);
  if (found === null) return <Page><p class="soft">{say.reading}</p></Page>;
  if ("cannot" in found) {
    return (
      <Page>
        <Head back={{ href: `/stones/${stoneId}`, words: say.back }} title={say.cannot} />
        <p>{found.cannot}</p>
      </Page>
    );
  }
  return <Filled {...props} start={found} />;
}

function Filled({ kind, stoneId, recordId, start, children }: Changing & { readonly start: Start }) {
  const form = useDraftForm({ key: changeKey(recordId), kind, about_id: stoneId, start });
  if (form === undefined) return <Page><p class="soft">{say.reading}</p></Page>;
  return <>{children(form)}</>;
}
