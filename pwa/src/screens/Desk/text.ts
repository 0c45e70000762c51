import type { DeskStone } from "../../domain/board";
import { asked as sayAsked } from "../../words/asked";
import { desk as say } from "../../words/desk";
import type { DeskBase } from "./read";

export const money = (price: number): string => (Number.isInteger(price) ? String(price) : price.toFixed(2));

/** What is asked for a stone; null where nothing is. */
export const priceText = ({ offer }: Pick<DeskStone, "offer">): string | null =>
  offer === null || offer.price === null ? null : say.price(money(offer.price), offer.currency);

/** Who has it; null: the dealer. */
export const holderText = (row: DeskStone, base: DeskBase): string | null =>
  row.holder_id === null ? null : base.members.get(row.holder_id)?.display_name ?? sayAsked.somebody;
