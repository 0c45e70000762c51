import { describe, expect, it } from "vitest";
import type { Answer } from "../../src/api/errors";
import type { RequestToSend } from "../../src/api/transport";
import { noLock } from "../../src/sync/lock";
import { joinWith } from "../../src/sync/signing";
import { newPhone } from "./phone";
import { Service } from "./service";

const fields = { display_name: "Ottilie", sign_in_name: "ottilie", password: "a long pass word" };
const welcome: Answer = {
  kind: "done",
  status: 201,
  body: {
    member: { id: "new", display_name: "Ottilie", roles: ["tester"] },
    club: { id: "club-2", name: "Other club", slug: "other", invented: true },
    view: "tester",
  },
};

describe("joining by an invitation", () => {
  it("signs in, remembers name and club for the next time, and keeps what somebody else has not sent", async () => {
    const phone = await newPhone(new Service("member-1"));
    await phone.save("trial-1", {});
    await phone.db.stones.put({ id: "s1", revision: 1 } as never);
    const sent: RequestToSend[] = [];
    const transport = (request: RequestToSend) => {
      sent.push(request);
      return Promise.resolve(welcome);
    };
    expect(await joinWith({ db: phone.db, lock: noLock, transport }, "to/ken", fields)).toEqual({ kind: "in" });
    expect(sent).toMatchObject([{ method: "POST", path: "/joining/to%2Fken", json: fields }]);
    expect(await phone.db.note("session")).toMatchObject({ member: { id: "new" }, club: { slug: "other" }, signed_in: true });
    expect(await phone.db.note("last_sign_in")).toEqual({ club: "other", sign_in_name: "ottilie" });
    expect([await phone.db.stones.count(), (await phone.queue())[0]?.member_id]).toEqual([0, "member-1"]);
  });

  it("that is refused says which field, and leaves whoever was signed in", async () => {
    const phone = await newPhone(new Service("member-1"));
    const problem = {
      code: "conflict", status: 409, title: "", detail: "Taken.", current: null,
      errors: [{ field: "sign_in_name", message: "This sign-in name is taken. Choose another." }],
    };
    const transport = () => Promise.resolve({ kind: "refused", problem } as const);
    expect(await joinWith({ db: phone.db, lock: noLock, transport }, "token", fields)).toMatchObject({ kind: "refused", errors: problem.errors });
    expect(await phone.db.note("session")).toMatchObject({ member: { id: "member-1" }, signed_in: true });
  });
});
