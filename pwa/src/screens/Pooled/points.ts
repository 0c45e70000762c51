/** The stones as points of the map. Pure. */
import type { FieldPoint } from "../../parts/Chart/geometry";
import { isReady, type PooledStone } from "./flags";

/** With more stones than this only the chosen one shows its intervals: hundreds of crossing lines show nothing. */
export const intervalsShown = 80;

/** Stones with a grade on both scales; those with many about them are drawn without their intervals. */
export function fieldPoints(
  stones: readonly PooledStone[], across: string, up: string, codeOf: (id: string) => string, chosen: string | null,
): FieldPoint[] {
  const points = stones.flatMap((stone): FieldPoint[] => {
    const [a, u] = [stone.grades.get(across), stone.grades.get(up)];
    return a && u && a.n_trials > 0 && u.n_trials > 0
      ? [{ id: stone.stone_id, code: codeOf(stone.stone_id), across: a, up: u, doubtful: !isReady(stone) }]
      : [];
  });
  if (points.length <= intervalsShown) return points;
  const bare = ({ grade }: FieldPoint["across"]): FieldPoint["across"] => ({ grade, low90: grade, high90: grade });
  return points.map((point) => (point.id === chosen ? point : { ...point, across: bare(point.across), up: bare(point.up) }));
}
