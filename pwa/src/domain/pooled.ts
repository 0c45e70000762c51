/** Pooled grades as the service answers them (GET /pooled). Read only: nothing here is ever written back. */
import type { Purpose } from "./records";

export interface SteelGrade {
  readonly steel: string;
  readonly grade: number;
  readonly low90: number;
  readonly high90: number;
  readonly sd: number;
  readonly n_trials: number;
}

export interface StoneGrade {
  readonly stone_id: string;
  readonly grade: number;
  readonly low90: number;
  readonly high90: number;
  readonly sd: number;
  readonly n_trials: number;
  readonly n_testers: number;
  readonly n_steels: number;
  /** Stones of different groups share no tester, so their grades cannot be set side by side; -1: nobody tried it. */
  readonly group: number;
  readonly at_end: "low" | "high" | null;
  readonly note: string | null;
  readonly by_steel: readonly SteelGrade[];
}

export interface TesterStanding {
  readonly tester_id: string;
  /** Grades this much below the panel; positive is severe. In scale units. */
  readonly severity: number;
  readonly severity_low90: number;
  readonly severity_high90: number;
  readonly sigma: number;
  readonly weight: number;
  readonly n_trials: number;
  readonly note: string | null;
}

/** A stone whose signs (uptake, density, mud) say something else than its grades. */
export interface SignCheck {
  readonly stone_id: string;
  /** The grade that the signs foretell, and how sure they are. */
  readonly foretold: number;
  readonly foretold_sd: number;
  readonly gap: number;
  readonly leading: string | null;
}

/** One trial that would let a group of stones be set beside the rest. */
export interface ProposedLink {
  readonly tester_id: string;
  readonly stone_id: string;
  readonly steel: string;
}

export interface PooledScale {
  readonly scale: string;
  readonly name: string;
  readonly low: number;
  readonly high: number;
  readonly step: number;
  readonly method_version: string;
  readonly converged: boolean;
  readonly n_off_scale: number;
  readonly stones: readonly StoneGrade[];
  readonly testers: readonly TesterStanding[];
  /** What holds the scale's level, and how well. */
  readonly level_note?: string;
  /** Whether the signs help the grades of stones with few trials, and where they contradict. */
  readonly signs?: { readonly used: boolean; readonly reason: string; readonly checks: readonly SignCheck[] };
  readonly proposed_links?: readonly ProposedLink[];
}

export interface Pooled {
  readonly purpose: Purpose;
  readonly method_version: string;
  readonly revision: number;
  readonly computed_at: string;
  /** Newer records are in that these grades do not know yet; older services do not say. */
  readonly behind?: boolean;
  readonly scales: readonly PooledScale[];
}
