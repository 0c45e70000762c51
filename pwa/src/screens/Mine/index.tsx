import { useState } from "preact/hooks";
import { againstPanel } from "../../domain/mine";
import type { Purpose, Trial } from "../../domain/records";
import { Choice } from "../../parts/Choice";
import { Head, Page } from "../../parts/Page";
import { readAll, readSession } from "../../store/catalogue";
import { useLive } from "../../store/live";
import { mine as say } from "../../words/mine";
import { purposes } from "../../words/trade";
import { Freshness } from "../Pooled/Freshness";
import { inProtocolOrder } from "../Pooled/scaleOrder";
import { usePooled } from "../Pooled/usePooled";
import { Against } from "./Against";
import { Level, Moved } from "./Level";
import styles from "./style.module.css";
import { useCalibration } from "./useCalibration";

const allPurposes: readonly Purpose[] = ["knife", "razor", "plane_iron"];

async function readMine() {
  const member = (await readSession())?.member.id ?? "";
  const [trials, protocols, stones] = await Promise.all([
    readAll("trial", { where: { created_by: member } }), readAll("protocol", { withdrawn: true }), readAll("stone", { withdrawn: true }),
  ]);
  const purposeOf = new Map(protocols.map(({ record }) => [record.id, record.purpose]));
  // What has not been sent is in no pooled grade; beside one it would only puzzle.
  const sent = trials.filter(({ record, state }) => state === "sent" || record.version > 0).map(({ record }) => record);
  const ofPurpose = (purpose: Purpose): Trial[] => sent.filter((trial) => purposeOf.get(trial.protocol_id) === purpose);
  return {
    member,
    trials: new Map(allPurposes.map((purpose) => [purpose, ofPurpose(purpose)])),
    tried: allPurposes.filter((purpose) => ofPurpose(purpose).length > 0),
    protocols: protocols.map(({ record }) => record),
    codes: new Map(stones.map(({ record }) => [record.id, record.code])),
  };
}

/** Where my grades stand against the panel, per purpose and scale. */
export function Mine() {
  const mine = useLive(readMine, []);
  const [wanted, setWanted] = useState<Purpose | null>(null);
  const [wantedScale, setWantedScale] = useState<string | null>(null);
  const most = mine?.tried.reduce<Purpose | null>(
    (best, one) => (best === null || (mine.trials.get(one)?.length ?? 0) > (mine.trials.get(best)?.length ?? 0) ? one : best), null) ?? null;
  const purpose = wanted ?? most;
  const pooled = usePooled(purpose);
  const calibration = useCalibration(purpose, pooled?.asked ?? null);

  if (mine === undefined) return <Page><p class="soft">{say.reading}</p></Page>;
  if (purpose === null) {
    return (
      <Page>
        <Head back={{ href: "/me", words: say.back }} title={say.title} />
        <p>{say.none}</p>
        <a class="button button-main" href="/">{say.noneStart}</a>
      </Page>
    );
  }

  const trials = mine.trials.get(purpose) ?? [];
  const scales = inProtocolOrder(pooled?.answer?.scales ?? [], mine.protocols.filter((p) => p.purpose === purpose));
  const scale = scales.find((s) => s.scale === wantedScale) ?? scales[0];
  const tester = calibration?.scales.find((s) => s.scale === scale?.scale)?.testers.find((t) => t.tester_id === mine.member);

  return (
    <Page wide>
      <Head back={{ href: "/me", words: say.back }} title={say.title}>
        <p class="soft">{say.lead}</p>
        <Freshness view={pooled} />
      </Head>
      <div class={styles.choices}>
        {mine.tried.length > 1 && (
          <Choice
            name={say.purpose}
            lay="strip"
            options={mine.tried.map((value) => ({ value, words: purposes[value] }))}
            value={purpose}
            onChoose={setWanted}
          />
        )}
        {scales.length > 1 && (
          <Choice
            name={say.scale}
            lay="strip"
            options={scales.map(({ scale: value, name }) => ({ value, words: name }))}
            value={scale?.scale ?? null}
            onChoose={setWantedScale}
          />
        )}
      </div>
      {scale !== undefined && (
        <div class={styles.columns}>
          <div class={styles.column}>
            {tester !== undefined && <Level tester={tester} />}
            {tester !== undefined && <Moved tester={tester} trials={new Map(trials.map((trial) => [trial.id, trial]))} codes={mine.codes} />}
            {calibration === null && <p class="sheet">{say.needsSignal}</p>}
          </div>
          <div class={styles.column}>
            <Against key={`${purpose} ${scale.scale}`} scale={scale} rows={againstPanel(scale, trials)} codes={mine.codes} />
          </div>
        </div>
      )}
    </Page>
  );
}
