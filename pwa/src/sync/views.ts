/**
 * What is computed by the service and not kept on the phone: pooled grades, panels, earlier versions. A view asks
 * when it is shown and says plainly when it cannot.
 *
 *   const pooled = useView(() => readPooled("knife"), ["knife"]);   undefined while asking
 *   pooled.kind: "here" (value) | "blind" | "not_allowed" | "not_found" | "signed_out" | "no_network" | "trouble"
 */

import { useEffect, useState } from "preact/hooks";
import type { Answer } from "../api/errors";
import type { components } from "../api/schema";
import type { Agreement } from "../domain/agreement";
import type { Plan, PlanRequest } from "../domain/plan";
import type { MovedSlip, Readiness } from "../domain/publishing";
import { pathOf, type Purpose, type Records, type Rule, type WrittenThing } from "../domain/records";
import { planTimeoutMs, pooledTimeoutMs } from "../constants";
import { transport } from "./loop";

type Schemas = components["schemas"];
export type Pooled = Schemas["PooledRead"];
export type Calibration = Schemas["CalibrationRead"];
/** What other rules would say of the present stones. */
export type RulesPreview = Schemas["RulesPreviewRead"];

export type View<T> =
  | { readonly kind: "here"; readonly value: T }
  | {
      readonly kind: "blind" | "not_allowed" | "not_found" | "signed_out" | "no_network" | "trouble";
      /** The service's words, possibly none. */
      readonly detail: string;
    };

/** An answer as something to show. */
export function viewOf<T>(answer: Answer): View<T> {
  switch (answer.kind) {
    case "done":
      return { kind: "here", value: answer.body as T };
    case "signed_out":
      return { kind: "signed_out", detail: answer.problem?.detail ?? "" };
    case "unreachable":
      return { kind: "no_network", detail: "" };
    case "troubled":
      return { kind: "trouble", detail: answer.detail };
    case "refused": {
      const { code, detail } = answer.problem;
      return { kind: code === "blind" || code === "not_allowed" || code === "not_found" ? code : "trouble", detail };
    }
  }
}

const ask = async <T,>(path: string): Promise<View<T>> => viewOf<T>(await transport({ method: "GET", path }));

/** The first answer after trials of a large club came in waits for the pooling of all of them. */
const askPool = async <T,>(path: string): Promise<View<T>> =>
  viewOf<T>(await transport({ method: "GET", path, timeoutMs: pooledTimeoutMs }));

/** Every stone's pooled grades for a purpose (dealer, steward). */
export const readPooled = (purpose: Purpose): Promise<View<Pooled>> => askPool(`/pooled?purpose=${purpose}`);

/** Severity, steadiness and drift: a tester's own, for a dealer everybody's. */
export const readCalibration = (purpose: Purpose): Promise<View<Calibration>> => askPool(`/calibration?purpose=${purpose}`);

/** How far the panel agrees, with its figures (dealer, steward). The intervals take a moment in a large club. */
export const readAgreement = async (purpose: Purpose): Promise<View<Agreement>> =>
  viewOf(await transport({ method: "GET", path: `/agreement?purpose=${purpose}`, timeoutMs: planTimeoutMs }));

/** Whether a stone may be published for a purpose, and what stands in the way (dealer, steward). */
export const readReadiness = (stoneId: string, purpose: Purpose): Promise<View<Readiness>> =>
  askPool(`/stones/${stoneId}/readiness?purpose=${purpose}`);

/** Slips whose grades later trials have moved (dealer, steward). */
export const readMovedSlips = (): Promise<View<{ readonly items: readonly MovedSlip[] }>> => ask("/slips/to-reissue");

/** Which trials would teach most (dealer, steward). Nothing is stored there. Planning takes a while in a large club. */
export const readPlan = async (wish: PlanRequest): Promise<View<Plan>> =>
  viewOf(await transport({ method: "POST", path: "/plan", json: wish, timeoutMs: planTimeoutMs }));

/** One stone's panel; a tester sees it after an own trial of it. */
export const readPanel = (stoneId: string, purpose: Purpose): Promise<View<Pooled>> =>
  askPool(`/stones/${stoneId}/panel?purpose=${purpose}`);

/** The trials of a stone that this member may see. */
export const readTrialsOfStone = (stoneId: string): Promise<View<{ readonly items: readonly Records["trial"][] }>> =>
  ask(`/stones/${stoneId}/trials`);

/** Every state a record has had, the oldest first. */
export const readVersions = <T extends WrittenThing>(
  thing: T,
  id: string,
): Promise<View<{ readonly items: readonly Records[T][] }>> => ask(`${pathOf(thing, id)}/versions`);

/** A protocol as it was, for a trial that names an earlier version. */
export const readProtocolVersion = (id: string, version: number): Promise<View<Records["protocol"]>> =>
  ask(`/protocols/${id}?version=${version}`);

/** Steward: what these rules would say of the last look at each face. Nothing is stored. */
export const previewRules = async (rules: readonly Rule[]): Promise<View<RulesPreview>> =>
  viewOf(await transport({ method: "POST", path: "/rule-sets/preview", json: { rules } }));

/** Asks when shown and whenever an input changes; an answer to earlier inputs is dropped. */
export function useView<T>(read: () => Promise<View<T>>, inputs: readonly unknown[]): View<T> | undefined {
  const [view, setView] = useState<View<T> | undefined>();
  useEffect(() => {
    let current = true;
    setView(undefined);
    void read().then((answer) => {
      if (current) setView(answer);
    });
    return () => {
      current = false;
    };
    // eslint-disable-next-line react-hooks/exhaustive-deps -- the caller names what the view depends on
  }, inputs);
  return view;
}
