import { Head, Page } from "../../parts/Page";
import { readAll, readSession } from "../../store/catalogue";
import { useLive } from "../../store/live";
import { club as say } from "../../words/club";
import { Invite } from "./Invite";
import { MemberRow } from "./Member";
import styles from "./style.module.css";

async function readClubPage() {
  const [session, members] = await Promise.all([readSession(), readAll("member")]);
  return {
    me: session?.member.id ?? "",
    name: session?.club.name ?? "",
    isSteward: session?.member.roles.includes("steward") ?? false,
    members: members.sort((a, b) =>
      Number(b.record.active) - Number(a.record.active) || a.record.display_name.localeCompare(b.record.display_name)),
  };
}

/** The steward's page: who is in the club and as what, and inviting more. */
export function Club() {
  const page = useLive(readClubPage, []);
  if (page === undefined) return <Page><p class="soft">{say.reading}</p></Page>;
  if (!page.isSteward) {
    return (
      <Page>
        <Head back={{ href: "/me", words: say.back }} title={say.title} />
        <p>{say.notForYou}</p>
      </Page>
    );
  }
  return (
    <Page wide>
      <Head back={{ href: "/me", words: say.back }} title={say.title}>
        <p class="soft">{page.name}</p>
      </Head>
      <div class={styles.columns}>
        <section class={styles.column}>
          <h2>{say.members(page.members.length)}</h2>
          <ul class={styles.list}>
            {page.members.map((seen) => <MemberRow key={seen.record.id} seen={seen} isMe={seen.record.id === page.me} />)}
          </ul>
        </section>
        <div class={styles.column}>
          <Invite />
        </div>
      </div>
    </Page>
  );
}
