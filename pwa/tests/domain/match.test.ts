import { describe, expect, it } from "vitest";
import { bladesOf, helpful, isWishName, newBlade, sameWish, toWish, weakestBlade } from "../../src/domain/match";

const told = { finish: "clean", skill: "practised" };
const wishOf = (values: Record<string, unknown>) => {
  const made = toWish(values);
  if ("why" in made) throw new Error(JSON.stringify(made.why));
  return made.wish;
};

describe("a buyer's wish", () => {
  it("says what is still to be told", () => {
    expect(toWish({})).toEqual({ why: "finish" });
    expect(toWish({ finish: "clean" })).toEqual({ why: "skill" });
    expect(toWish({ ...told, budget: 100, currency: "E" })).toEqual({ why: "currency" });
  });

  it("asks for a knife and one blade of unknown steel where nothing else is told", () => {
    expect(wishOf(told)).toEqual({
      purpose: "knife", blades: [newBlade], finish: "clean", skill: "practised", owned: null, budget: null, size: null, waived: [],
    });
    expect(bladesOf({ blades: [] })).toEqual([newBlade]);
  });

  it("keeps zero, leaves out what is empty, and trims names", () => {
    const wish = wishOf({ ...told, budget: 0, currency: " eur ", max_mass_g: 900, blades: [{ ...newBlade, name: " petty " }] });
    expect(wish.budget).toEqual({ amount: 0, currency: "EUR" });
    expect(wish.size).toEqual({ min_length_mm: null, min_width_mm: null, max_mass_g: 900 });
    expect(wish.blades[0]?.name).toBe("petty");
  });

  // JIS R 6001 (1987) ends at #8000, FEPA P (ISO 6344) at P2500: numbers past them have no size there.
  it("takes a stone owned only with a size in its own system", () => {
    expect(wishOf({ ...told, owned_number: 1000 }).owned).toEqual({ system: "jis", number: 1000 });
    expect(wishOf({ ...told, owned_number: 1000, owned_system: "fepa_p" }).owned).toEqual({ system: "fepa_p", number: 1000 });
    expect(toWish({ ...told, owned_number: 10000 })).toHaveProperty("why.grit");
    expect(toWish({ ...told, owned_number: 3000, owned_system: "fepa_p" })).toHaveProperty("why.grit");
  });

  it("is the same wish only with the same wishes waived", () => {
    expect(sameWish(wishOf(told), wishOf({ ...told }))).toBe(true);
    expect(sameWish(wishOf(told), wishOf({ ...told, waived: ["budget"] }))).toBe(false);
  });
});

describe("an answer", () => {
  const line = (wish: string, probability: number) => ({ wish, probability, words: "", stone_id: "s" });

  it("offers to relax only what helps by a tenth and more", () => {
    const relax = [line("budget", 0.8), line("blade:1", 0.45), line("size", 0.35), line("step", 0.31)];
    expect(helpful({ relax, best: 0.3 }).map((one) => one.wish)).toEqual(["budget", "blade:1"]);
    expect(isWishName("budget")).toBe(true);
    expect(isWishName("blade:1")).toBe(false);
  });

  it("shows first the blade that a stone serves least surely", () => {
    const blade = (probability: number) => ({ blade: "", odds: "", probability });
    expect(weakestBlade({ by_blade: [blade(0.9), blade(0.4), blade(0.6)] })).toBe(1);
    expect(weakestBlade({ by_blade: [blade(0.9)] })).toBe(0);
  });
});
