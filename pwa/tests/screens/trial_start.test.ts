import { describe, expect, it } from "vitest";
import type { Blade, Protocol, ProtocolStep, Trial } from "../../src/domain/records";
import { practiceBlades } from "../../src/screens/Practice/invented";
import { tipAt } from "../../src/screens/Practice/tip";
import { leadsOn, readTrialDraft } from "../../src/screens/Trial/draft";
import { started, startOf } from "../../src/screens/Trial/start";
import type { DraftForm, Values } from "../../src/screens/useDraftForm";
import { practice as say } from "../../src/words/practice";

const observation = { help: "", unit: null, low: null, high: null, choices: [], required: false };
const step: Omit<ProtocolStep, "id" | "records"> = { title: "", text: "", conditions: [], timer_s: null, counter: null };
const counter = { name: "strokes", target: 20 };
const steps: Record<string, ProtocolStep> = {
  drop: { ...step, id: "drop", records: ["uptake"] },
  mud: { ...step, id: "mud", records: ["mud_shade"] },
  pressure: { ...step, id: "pressure", counter, records: ["pressure"] },
  feel: { ...step, id: "feel", records: ["pressure", "refines"] },
  grade: { ...step, id: "grade", records: ["hardness"] },
  notes: { ...step, id: "notes", records: ["notes"] },
};
const protocolOf = (id: string, version: number): Protocol => ({
  id, version, name: id, purpose: "knife", summary: "", reference_steels: [], cautions: [], steps: Object.values(steps),
  scales: [{ id: "hardness", name: "Hardness", low: 1, high: 5, step: 0.5, words: {} }],
  observations: [
    { ...observation, id: "uptake", name: "Uptake", kind: "number", unit: "s" },
    { ...observation, id: "mud_shade", name: "Shade", kind: "choice" },
    { ...observation, id: "pressure", name: "Pressure", kind: "choice" },
    { ...observation, id: "refines", name: "Refines?", kind: "yes_no" },
    { ...observation, id: "notes", name: "Notes", kind: "text" },
  ],
} as unknown as Protocol);
const trial = (protocol_id: string, protocol_version: number, finished_at: string): Trial =>
  ({ protocol_id, protocol_version, finished_at }) as unknown as Trial;

const [knife, razor] = [protocolOf("knife", 2), protocolOf("razor", 1)];
const blades = [{ id: "b1" }, { id: "b2" }] as unknown as Blade[];
const nothing = { protocol: undefined, blade: undefined };
const known = (ownTrials: readonly Trial[] = [], protocols = [knife, razor]) => ({ protocols, blades, ownTrials });

describe("what a new trial begins with", () => {
  it("is nothing for somebody new with a choice of protocols", () => {
    expect(startOf(known(), nothing)).toEqual({});
  });

  it("is the only protocol, or the one of the last own trial, and the short way only for its very version", () => {
    expect(startOf(known([], [razor]), nothing)).toEqual({ protocol: razor });
    const trials = [trial("knife", 2, "2026-03-01T10:00:00Z"), trial("razor", 1, "2026-02-01T10:00:00Z")];
    expect(startOf(known(trials), nothing)).toEqual({ protocol: knife, brief: true });
    expect(startOf(known([trial("knife", 1, "2026-03-01T10:00:00Z")]), nothing)).toEqual({ protocol: knife });
  });

  it("is what a link names before all else, and a blade only from a link", () => {
    const trials = [trial("knife", 2, "2026-03-01T10:00:00Z")];
    expect(startOf(known(trials), { protocol: "razor", blade: "b2" })).toEqual({ protocol: razor, blade_id: "b2" });
    expect(startOf(known(trials), { protocol: "gone", blade: "gone" })).toEqual({ protocol: knife, brief: true });
  });

  it("is kept with the first value that is set, and never laid over a draft", () => {
    const kept: Values[] = [];
    const form = { values: {}, draft: null, set: (changes: Values) => void kept.push(changes) } as unknown as DraftForm;
    const fresh = started(form, known([], [razor]));
    expect([fresh.values, kept]).toEqual([{ protocol: razor }, []]);
    fresh.set({ face: "front" });
    expect(kept).toEqual([{ protocol: razor, face: "front" }]);
    const begun = { ...form, values: { protocol: knife }, draft: { key: "" } } as unknown as DraftForm;
    expect(started(begun, known([], [razor]))).toBe(begun);
  });
});

describe("an answer that leads on by itself", () => {
  const draft = (more: Values = {}) => readTrialDraft({ protocol: knife, brief: true, ...more });
  const at = (id: string): ProtocolStep => steps[id] ?? steps["drop"] as ProtocolStep;

  it("is the only one of its step and given with one tap", () => {
    expect(Object.keys(steps).filter((id) => leadsOn(at(id), draft()))).toEqual(["drop", "pressure"]);
  });

  it("does so only for somebody who asked for the short way", () => {
    expect(leadsOn(at("drop"), draft({ brief: false }))).toBe(false);
  });

  it("waits while counted strokes are short of their target", () => {
    const counted = (n: number) => leadsOn(at("pressure"), draft({ "counts.pressure": n }));
    expect([0, 12, 20, 23].map(counted)).toEqual([true, false, true, true]);
  });
});

describe("practice", () => {
  it("has a blade for each purpose, of the steel that its protocol names first", () => {
    const clubs = [{ steel: "white_carbon", steel_name: "White carbon steel", steel_class: "plain_carbon", construction: "laminated" }] as unknown as Blade[];
    const [one, ...more] = practiceBlades([{ ...knife, reference_steels: ["white_carbon"] }, razor], clubs);
    expect([one?.form, one?.steel_name, one?.construction, more.length]).toEqual(["knife", "White carbon steel", "laminated", 0]);
  });

  it("has a hint for whatever the step at hand asks", () => {
    const tip = (at: string | null) => tipAt({ protocol: knife, at });
    expect([tip(null), tip("drop"), tip("pressure"), tip("mud"), tip("grade"), tip("review")]).toEqual([
      say.tips.setup, say.tips.time, say.tips.count, say.tips.choose, say.tips.grade, say.tips.review,
    ]);
  });
});
