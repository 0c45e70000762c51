"""What a planned trial brings, in sentences for the dealer."""

from whetpanel.core.plan import PlannedTrial

_NTH = ("first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth")


def nth(n: int) -> str:
    """The ordinal in words, in figures from the eleventh on (three figures end alike, so 111th, 112th)."""
    if 1 <= n <= len(_NTH):
        return _NTH[n - 1]
    ending = "th" if 10 <= n % 100 <= 20 else {1: "st", 2: "nd", 3: "rd"}.get(n % 10, "th")
    return f"{n}{ending}"


def _half_widths(before: float, after: float) -> tuple[str, str]:
    """One decimal place, or two where one would hide the difference."""
    places = 2 if f"{before:.1f}" == f"{after:.1f}" else 1
    return f"±{before:.{places}f}", f"±{after:.{places}f}"


def reasons(
    trial: PlannedTrial,
    *,
    scale_name: str,
    steel_name: str,
    target_half_width: float,
    min_testers: int,
    min_steels: int,
) -> tuple[str, ...]:
    """One sentence for each thing that the trial brings, the weightiest first; never none."""
    said: list[str] = []
    if trial.links:
        said.append("Links groups of stones whose grades cannot be set side by side until then.")
    before, after = _half_widths(trial.half_width_before, trial.half_width_after)
    scale = scale_name.lower()
    if trial.half_width_before > target_half_width:
        enough = ", narrow enough then" if trial.half_width_after <= target_half_width else ""
        said.append(f"Narrows {scale} from {before} to {after}{enough}.")
    if trial.brings_tester:
        said.append(
            f"{nth(trial.n_testers).capitalize()} tester of the {min_testers} that the club asks for."
        )
    if trial.brings_steel:
        said.append(
            f"First with {steel_name}: {nth(trial.n_steels)} steel of the {min_steels} that the club asks for."
        )
    if trial.half_width_before <= target_half_width and not said:
        said.append(f"Needed by no rule: {scale} is known to {before}, and goes to {after}.")
    if trial.in_hands:
        said.append("The stone is in this tester's hands already.")
    return tuple(said)
