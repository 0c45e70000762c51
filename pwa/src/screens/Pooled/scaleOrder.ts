import type { PooledScale } from "../../domain/pooled";
import type { Protocol } from "../../domain/records";

/** The scales in the order in which the club's protocols ask them; what no protocol asks any more comes last. */
export function inProtocolOrder<S extends Pick<PooledScale, "scale">>(scales: readonly S[], protocols: readonly Pick<Protocol, "scales">[]): S[] {
  const order = [...new Set(protocols.flatMap((protocol) => protocol.scales.map((scale) => scale.id)))];
  const rank = (scale: S): number => {
    const at = order.indexOf(scale.scale);
    return at < 0 ? order.length : at;
  };
  return [...scales].sort((a, b) => rank(a) - rank(b));
}

/** A scale's key as a short form of its name, for rows where the full name has no room. */
export function shortName(scale: Pick<PooledScale, "scale">): string {
  const words = scale.scale.replace(/_/g, " ");
  return words.charAt(0).toUpperCase() + words.slice(1);
}
