"""What a planned trial brings, in sentences for the dealer."""

from whetpanel.core.plan import PlannedTrial

_NTH = ("first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth")


def nth(n: int) -> str:
    """The ordinal in words, in figures from the eleventh on (three figures end alike, so 111th, 112th)."""
    if 1 <= n <= len(_NTH):
        return _NTH[n - 1]
    ending = "th" if 10 <= n % 100 <= 20 else {1: "st", 2: "nd", 3: "rd"}.get(n % 10, "th")
    return f"{n}{ending}"


def reasons(
    trial: PlannedTrial,
    *,
    scale_name: str,
    target_half_width: float,
    min_testers: int,
    min_steels: int,
) -> tuple[str, ...]:
    """One sentence for each thing that the trial brings, the weightiest first; never none."""
    said: list[str] = []
    if trial.links:
        said.append("Links groups of stones whose grades cannot be set side by side until then.")
    # Two places: with one, a stone just too wide would seem to stand at the limit already.
    before, after = f"±{trial.half_width_before:.2f}", f"±{trial.half_width_after:.2f}"
    scale = scale_name.lower()
    if trial.half_width_before > target_half_width:
        enough = ", narrow enough then" if trial.half_width_after <= target_half_width else ""
        said.append(f"Narrows {scale} from {before} to {after}{enough}.")
    if trial.n_testers == trial.n_steels == 1 and (trial.brings_tester or trial.brings_steel):
        said.append("Nobody has tried it yet.")
        return (*said, *_at_hand(trial))
    if trial.brings_tester:
        said.append(
            f"{nth(trial.n_testers).capitalize()} tester of the {min_testers} that the club asks for."
        )
    if trial.brings_steel:
        said.append(
            f"First with this steel: {nth(trial.n_steels)} of the {min_steels} that the club asks for."
        )
    if trial.half_width_before <= target_half_width and not said:
        said.append(f"Needed by no rule: {scale} is known to {before}, and goes to {after}.")
    return (*said, *_at_hand(trial))


def _at_hand(trial: PlannedTrial) -> tuple[str, ...]:
    return ("The stone is in this tester's hands already.",) if trial.in_hands else ()
