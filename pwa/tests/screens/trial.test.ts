import { describe, expect, it } from "vitest";
import type { Protocol } from "../../src/domain/records";
import { answerText } from "../../src/screens/Trial/answerText";
import { askedAt, lastStepId, leftOpen, missing, nextBlade, readTrialDraft, runningWatches, stepsOf, toTrial } from "../../src/screens/Trial/draft";

const words = { blade: "the blade", face: "the face", grade: "at least one grade" };

const kept = {
  version: 3, revision: 9, recorded_at: null, created_by: null, created_at: "2026-01-01T00:00:00Z",
  updated_at: "2026-01-01T00:00:00Z", updated_by: null, withdrawn: null,
};
const observation = { help: "", unit: null, low: null, high: null, choices: [], required: false };
const step = { text: "", conditions: [], timer_s: null, counter: null };

const protocol: Protocol = {
  ...kept, id: "p1", name: "Short", purpose: "knife", summary: "", reference_steels: [], cautions: [],
  steps: [
    { ...step, id: "ready", title: "Have ready", records: [] },
    { ...step, id: "drop", title: "Drop", records: ["uptake"] },
    { ...step, id: "grade", title: "Grade", records: ["hardness", "fineness"] },
  ],
  scales: [
    { id: "hardness", name: "Hardness", low: 1, high: 5, step: 0.5, words: {} },
    { id: "fineness", name: "Fineness", low: 1, high: 5, step: 0.5, words: {} },
  ],
  observations: [
    { ...observation, id: "uptake", name: "Uptake", kind: "number", unit: "s" },
    { ...observation, id: "scratches", name: "Scratches?", kind: "yes_no", required: true },
    { ...observation, id: "notes", name: "Notes", kind: "text" },
  ],
};

const full = {
  protocol, blade_id: "b1", face: "back", started_at: "2026-02-02T10:00:00Z",
  "observations.scratches": false, "grades.hardness": 3.5,
};

describe("what a trial still needs", () => {
  it("names blade, face, every required answer and a grade, each with the step where it is set", () => {
    expect(missing(readTrialDraft({ protocol }), words)).toEqual([
      { id: "blade_id", name: "the blade", at: "setup" },
      { id: "face", name: "the face", at: "setup" },
      { id: "scratches", name: "Scratches?", at: lastStepId },
      { id: "hardness", name: "at least one grade", at: "grade" },
    ]);
  });

  it("takes No for an answer", () => {
    expect(missing(readTrialDraft(full), words)).toEqual([]);
  });

  it("names what is left open, notes apart, so that it is left open knowingly", () => {
    expect(leftOpen(readTrialDraft(full)).map((item) => item.id)).toEqual(["uptake", "fineness"]);
  });

  it("a required text of nothing but spaces is missing", () => {
    const asking = { ...protocol, observations: protocol.observations.map((o) => (o.id === "notes" ? { ...o, required: true } : o)) };
    const open = missing(readTrialDraft({ ...full, protocol: asking, "observations.notes": "  " }), words);
    expect(open.map((item) => item.id)).toEqual(["notes"]);
  });
});

describe("the way through a protocol", () => {
  it("gives what has no step of its own a step at the end", () => {
    const steps = stepsOf(protocol, false);
    expect(steps.map((s) => s.id)).toEqual(["ready", "drop", "grade", lastStepId]);
    expect(askedAt(steps[3]!, protocol).observations.map((o) => o.id)).toEqual(["scratches", "notes"]);
  });

  it("in brief leaves out only steps that record nothing", () => {
    expect(stepsOf(protocol, true).map((s) => s.id)).toEqual(["drop", "grade", lastStepId]);
  });

  it("a stopwatch left running is found again from any step", () => {
    const running = runningWatches(readTrialDraft({ ...full, "timers.uptake": 1000, "timers.step:grade": 5 }));
    expect(running.map(({ asked, startedAt }) => [asked.id, startedAt])).toEqual([["uptake", 1000]]);
  });
});

describe("the record", () => {
  it("is there only once protocol, blade and face are", () => {
    expect(toTrial(readTrialDraft({ protocol }), "s1", "2026-02-02T11:00:00Z")).toBeNull();
  });

  it("names the protocol version the trial began with and carries answers and grades, nothing else", () => {
    const values = {
      ...full, thickness_mm: 24.5, "observations.uptake": 90, "observations.notes": " even ", "observations.gone": "old",
      "timers.uptake": 5, "counts.drop": 12,
    };
    expect(toTrial(readTrialDraft(values), "s1", "2026-02-02T11:00:00Z")).toEqual({
      stone_id: "s1", blade_id: "b1", protocol_id: "p1", protocol_version: 3, face: "back", thickness_mm: 24.5,
      started_at: "2026-02-02T10:00:00Z", finished_at: "2026-02-02T11:00:00Z",
      observations: { uptake: 90, scratches: false, notes: "even" },
      grades: { hardness: 3.5 },
      photos: [], notes: "",
    });
  });

  it("names the photos taken on the way; the next blade begins without them", () => {
    const photos = [{ sha256: "ab", view: "mud", caption: "" }];
    const draft = readTrialDraft({ ...full, photos });
    expect(toTrial(draft, "s1", "2026-02-02T11:00:00Z")?.photos).toEqual(photos);
    expect(readTrialDraft(nextBlade(draft)).photos).toEqual([]);
  });

  it("of the next blade begins with the same bench and not one answer", () => {
    const next = readTrialDraft(nextBlade(readTrialDraft({ ...full, thickness_mm: 24.5 })));
    expect(next.protocol?.id).toBe("p1");
    expect([next.face, next.thickness_mm, next.blade_id, next.at]).toEqual(["back", 24.5, null, null]);
    expect([next.observations, next.grades, next.counts]).toEqual([{}, {}, {}]);
  });
});

describe("an answer in words", () => {
  const asked = { ...observation, id: "x", name: "X", kind: "choice" as const, choices: [{ value: 2, words: "light grey" }] };
  it("speaks the protocol's words, units and grit signs", () => {
    expect(answerText(asked, 2)).toBe("light grey");
    expect(answerText({ ...asked, unit: "s", choices: [] }, 83)).toBe("83 s");
    expect(answerText(asked, { low: 3000, high: 6000, system: "jis" })).toBe("#3000 – #6000");
    expect(answerText(asked, false)).toBe("No");
    expect(answerText(asked, undefined)).toBe("not set");
  });
});
