/** Cases drawn by the service's tests, which run this file and name theirs in WHETPANEL_DRAWN_CASES. */

import { readFileSync } from "node:fs";

import { expect, it } from "vitest";

import type { Rule } from "../../../src/domain/records";
import { assess } from "../../../src/domain/soundness";
import type { History, InspectionValues, StoneShape } from "../../../src/domain/soundness";
import rules from "../../../src/domain/soundness/default_rules.json";
import { faultsOf, near } from "./near";

interface Drawn {
  readonly stone: StoneShape;
  readonly inspection: InspectionValues;
  readonly history: History;
  readonly expect?: unknown;
  readonly errors?: unknown;
}

const path = process.env["WHETPANEL_DRAWN_CASES"];
const drawn = path === undefined ? [] : (JSON.parse(readFileSync(path, "utf8")) as readonly Drawn[]);

it.skipIf(path === undefined)("was given cases (skipped: only the service's tests draw them)", () => {
  expect(drawn.length).toBeGreaterThan(0);
});

it.each(drawn.map((known, i) => ({ known, i })))("drawn case $i", ({ known }) => {
  const answer = () => assess(known.stone, known.inspection, rules as readonly Rule[], known.history);

  if (known.errors === undefined) near(known.expect, answer());
  else expect(faultsOf(answer)).toEqual(known.errors);
});
