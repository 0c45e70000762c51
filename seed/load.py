"""Load the demo club through the API, as any other program would.

    python seed/load.py --url http://127.0.0.1:8000 --club alderbeck --steward NAME --password-env VAR

Every id and every byte follows from the scenario, so running it again changes nothing. Stopped half way,
it is simply run again. It never overwrites: a record somebody has changed in the meantime is refused by the
service, and the refusal is shown.
"""

import argparse
import os
import sys
import time
from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass, field
from math import ceil
from pathlib import Path
from typing import Any

import requests

if not __package__:
    # Run as a file, Python searches this folder for imports; the package is found from the one above.
    sys.path[0] = str(Path(__file__).resolve().parent.parent)

from seed import pictures, records, trade
from seed.client import ApiProblem, Client
from seed.faces import Photo
from seed.inspections import looks
from seed.scenario import BLADES, CLUB_NAME, CONFIRM_DEPTH_MM, DEALER, LOTS, PEOPLE, PUBLISH_RULES, TESTERS
from seed.stones import CHECK_STONES, STONES, Stone
from seed.trials import EXCLUDED_REASON, trials


@dataclass
class Loaded:
    """What a run did: records new and records already there, by thing; the members; the time taken."""

    created: Counter[str] = field(default_factory=Counter)
    unchanged: Counter[str] = field(default_factory=Counter)
    members: list[dict[str, str]] = field(default_factory=list)
    seconds: float = 0.0

    def note(self, thing: str, created: bool) -> None:
        (self.created if created else self.unchanged)[thing] += 1


def some_stones(scale: float) -> list[Stone]:
    """All stones at scale 1, else a spread over the lots; never none."""
    n = min(len(STONES), max(1, ceil(len(STONES) * scale)))
    return [STONES[i * len(STONES) // n] for i in range(n)]


class Loader:
    """One run. Each method loads one kind of record and needs those before it."""

    def __init__(
        self,
        base_url: str,
        club: str,
        session_factory: Callable[[], requests.Session],
        *,
        scale: float,
        photos: bool,
        say: Callable[[str], None],
    ) -> None:
        self.base_url = base_url
        self.club = club
        self.session_factory = session_factory
        self.say = say
        self.ids = records.Ids(club)
        self.stones = some_stones(scale)
        codes = {stone.code for stone in self.stones}
        self.looks = sorted((look for look in looks() if look.stone.code in codes), key=lambda look: look.at)
        self.trials = [trial for trial in trials() if trial.stone.code in codes]
        self.clients: dict[str, Client] = {}
        self.report = Loaded()
        self.darkroom = pictures.Darkroom(on=photos)
        self.sent: set[str] = set()
        self.faces: dict[str, Photo] = {}

    def order_photos(self) -> None:
        """Hand every photo to the darkroom in the order it will be asked for."""
        for stone in self.stones:
            self.darkroom.order(stone.code, pictures.stone_shots(stone))
        for look in self.looks:
            self.darkroom.order(look.key, pictures.look_shots(look))
        for trial in self.trials:
            self.darkroom.order(trial.key, pictures.trial_shots(trial))

    def sign_in(self, name: str, password: str) -> Client:
        client = Client(self.base_url, self.session_factory())
        client.sign_in(self.club, name, password)
        self.clients[name] = client
        return client

    def sign_out_all(self) -> None:
        for client in self.clients.values():
            client.sign_out()
        self.clients.clear()

    def put(self, who: Client, thing: str, record_id: str, record: dict[str, Any]) -> dict[str, Any]:
        served, created = who.put(f"/{thing}/{record_id}", record)
        self.report.note(thing, created)
        return served

    def put_photos(self, who: Client, key: str) -> list[Photo]:
        """Send the photos ordered under this key, unless this run has sent the same bytes already."""
        photos = self.darkroom.collect(key)
        for photo in photos:
            if photo.sha256 not in self.sent:
                created = who.put_bytes(f"/photos/{photo.sha256}", photo.data, "image/jpeg")
                self.report.note("photos", created)
                self.sent.add(photo.sha256)
        return photos

    def set_up_club(self, steward: Client) -> None:
        """Say that the club is invented, once; what the steward sets afterwards stays as it is."""
        club = steward.get("/club")
        if club["version"] > 1:
            return
        record = {
            "name": club["name"] if club["invented"] else CLUB_NAME,
            "invented": True,
            "publish_rules": PUBLISH_RULES,
            "confirm_depth_mm": CONFIRM_DEPTH_MM,
        }
        steward.put("/club", record, if_match=f'"{club["version"]}"')

    def load_members(self, steward: Client) -> None:
        """Members are only added: a password or a role changed since the last run is not set back."""
        there = {member["id"] for member in steward.every("/members")}
        for person in PEOPLE:
            member_id = self.ids.member(person)
            if member_id in there:
                self.report.note("members", created=False)
            else:
                self.put(steward, "members", member_id, records.member_record(person))
            self.report.members.append(
                {
                    "name": person.display_name,
                    "roles": ", ".join(person.roles),
                    "sign_in_name": person.key,
                    "password": person.password,
                }
            )

    def load_stock(self, dealer: Client) -> None:
        lots = {lot.code: lot for lot in LOTS}
        for lot in LOTS:
            self.put(dealer, "lots", self.ids.lot(lot), records.lot_record(lot))
        for blade in BLADES:
            self.put(dealer, "blades", self.ids.blade(blade), records.blade_record(blade))
        for stone in self.stones:
            photos = self.put_photos(dealer, stone.code)
            self.faces.update((stone.code, photo) for photo in photos[:1])
            record = records.stone_record(stone, self.ids, lots, photos)
            self.put(dealer, "stones", self.ids.stone(stone), record)
            if stone.code in CHECK_STONES:
                agreed = records.check_stone_record(stone, self.ids)
                self.put(dealer, "check-stones", self.ids.check_stone(stone), agreed)

    def load_inspections(self) -> None:
        for look in self.looks:
            who = self.clients[look.by]
            photos = self.put_photos(who, look.key)
            if look.at_intake and look.stone.code in self.faces:
                photos = [self.faces[look.stone.code]]
            record = records.inspection_record(look, self.ids, photos)
            self.put(who, "inspections", self.ids.inspection(look), record)

    def load_trials(self, protocols: dict[str, dict[str, Any]], dealer: Client) -> None:
        """Each trial by its own tester; the dealer leaves one out, unless that was decided before."""
        for n, trial in enumerate(self.trials, 1):
            who = self.clients[trial.tester]
            photos = self.put_photos(who, trial.key)
            trial_id = self.ids.trial(trial)
            record = records.trial_record(trial, self.ids, protocols[trial.purpose], photos)
            served = self.put(who, "trials", trial_id, record)
            if trial.excluded and served["version"] == 1 and not served.get("excluded"):
                dealer.post(f"/trials/{trial_id}/exclude", {"reason": EXCLUDED_REASON})
            if n % 100 == 0:
                self.say(f"  {n} of {len(self.trials)} trials")


    def load_trade(self, dealer: Client, *, whole: bool) -> None:
        """Prices, hand-overs, asked trials and consents; slips only where every trial they rest on was loaded."""
        for person in PEOPLE:
            if person.key in trade.AGREED:
                consent = {"names_on_slips": True, "recorded_at": records.stamp(trade.SETTLED)}
                self.put(self.clients[person.key], "consents", self.ids.member(person), consent)
        for stone in self.stones:
            self.put(dealer, "offers", self.ids.stone(stone), trade.offer_record(stone, self.ids))
        for step in trade.steps(self.club, self.ids, {stone.code for stone in self.stones}):
            self.put(dealer, step.thing, step.record_id, step.record)
        for step in trade.slips(self.club, self.ids) if whole else ():
            self.put(dealer, step.thing, step.record_id, step.record)


def default_protocols(client: Client) -> dict[str, dict[str, Any]]:
    """The protocol of each purpose in its first version, which is the one the demo trials follow."""
    found: dict[str, dict[str, Any]] = {}
    for protocol in sorted(client.every("/protocols"), key=lambda p: str(p["id"])):
        if protocol["purpose"] not in found and not protocol.get("withdrawn"):
            first = protocol["version"] == 1
            found[protocol["purpose"]] = (
                protocol if first else client.get(f"/protocols/{protocol['id']}", version=1)
            )
    missing = {"knife", "razor", "plane_iron"} - set(found)
    if missing:
        raise SystemExit(
            f"The club has no protocol for {', '.join(sorted(missing))}: create it with its defaults."
        )
    return found


def load_demo(
    base_url: str,
    club_slug: str,
    steward_name: str,
    steward_password: str,
    *,
    session_factory: Callable[[], requests.Session] = requests.Session,
    scale: float = 1.0,
    photos: bool = True,
    say: Callable[[str], None] = lambda line: None,
) -> Loaded:
    """Load the invented club into an existing club of the service.

    ``scale`` below 1 takes fewer stones, with their inspections and trials. ``photos=False`` draws and sends
    none; a run with photos after one without is refused, for the stones' records differ.
    Raises ApiProblem with the service's own words, and requests.ConnectionError when nobody answers.
    """
    start = time.perf_counter()
    loader = Loader(base_url, club_slug, session_factory, scale=scale, photos=photos, say=say)
    report = loader.report

    def told(words: str) -> None:
        say(f"{time.perf_counter() - start:5.1f} s  {words}")

    try:
        steward = loader.sign_in(steward_name, steward_password)
        protocols = default_protocols(steward)
        loader.order_photos()
        loader.set_up_club(steward)
        loader.load_members(steward)
        for person in (DEALER, *TESTERS):
            loader.sign_in(person.key, person.password)
        told(f"{len(PEOPLE)} members")
        dealer = loader.clients[DEALER.key]
        loader.load_stock(dealer)
        told(f"{len(LOTS)} lots, {len(BLADES)} blades, {len(loader.stones)} stones")
        loader.load_inspections()
        told(f"{len(loader.looks)} inspections")
        loader.load_trials(protocols, dealer)
        told(f"{len(loader.trials)} trials, {len(loader.sent)} photos")
        loader.load_trade(dealer, whole=scale >= 1.0)
        told("prices, hand-overs, asked trials and slips")
        loader.sign_out_all()
    finally:
        loader.darkroom.close()
    report.seconds = time.perf_counter() - start
    return report


def table(rows: list[dict[str, str]]) -> str:
    """The members as columns of text."""
    heads = {"name": "Member", "roles": "Roles", "sign_in_name": "Sign-in name", "password": "Password"}
    lines = [heads, *rows]
    widths = {key: max(len(line[key]) for line in lines) for key in heads}
    return "\n".join("  ".join(line[key].ljust(widths[key]) for key in heads).rstrip() for line in lines)


def main(arguments: list[str] | None = None) -> int:
    parser = argparse.ArgumentParser(
        prog="load.py", description="Load the invented demo club through the API."
    )
    parser.add_argument("--url", default="http://127.0.0.1:8000", help="where the service runs")
    parser.add_argument("--club", default="alderbeck", help="slug of an existing club")
    parser.add_argument("--steward", required=True, help="sign-in name of the club's steward")
    parser.add_argument("--password-env", required=True, metavar="VAR", help="variable holding the password")
    parser.add_argument("--scale", type=float, default=1.0, help="share of the stones to load, 0 to 1")
    parser.add_argument("--no-photos", action="store_true", help="draw and send no photos")
    given = parser.parse_args(arguments)
    password = os.environ.get(given.password_env)
    if not password:
        parser.error(
            f"the environment variable {given.password_env} is empty: put the steward's password there"
        )
    try:
        # Asked once and without patience: a service that is not there at all is most likely a wrong address.
        requests.get(f"{given.url.rstrip('/')}/healthz", timeout=10)
        report = load_demo(
            given.url,
            given.club,
            given.steward,
            password,
            scale=given.scale,
            photos=not given.no_photos,
            say=lambda line: print(line, flush=True),
        )
    except ApiProblem as problem:
        print(f"The service refused: {problem}", file=sys.stderr)
        return 1
    except requests.ConnectionError as error:
        print(f"No service answers at {given.url}: start it, or correct --url. ({error})", file=sys.stderr)
        return 1
    new, same = report.created.total(), report.unchanged.total()
    print(f"Done in {report.seconds:.1f} s: {new} records new, {same} already there.\n")
    print(table(report.members))
    print("\nThese passwords are public. Keep a demo club off the open internet.")
    return 0


if __name__ == "__main__":
    raise SystemExit(main())
