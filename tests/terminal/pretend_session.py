"""A consultation that needs no rules: it asks two questions, keeps what it is told and what it was wished."""

from dataclasses import dataclass, field
from types import SimpleNamespace

from sample_views import CALL, ENDED, FAILING, LEAK, LOOK, NOT_COVERED, NOTHING_YET, PRESSURE

from diagnose.consultation import events
from diagnose.consultation.events import Answer
from diagnose.consultation.view import AnsweredRow, View
from diagnose.values.problem import DiagnoseError

QUESTIONS = {question.finding: question for question in (LOOK, PRESSURE)}


@dataclass
class PretendSession:
    """Asks how the oil looks, then the exhaust pressure; a number above 2.6 raises a caution."""

    said: dict[str, Answer] = field(default_factory=dict)
    elsewhere: dict[tuple[str, str], Answer] = field(default_factory=dict)
    intents: list[events.Intent] = field(default_factory=list)
    phase: str = "loaded"
    stopped: bool = False
    reported: bool = True
    note: str = ""
    title: str = "Boiler feed pump turbine"
    run: str = "20260302-bcdf"

    def __post_init__(self):
        machines = {name: SimpleNamespace(id=name, title=f"Turbine {name}") for name in ("BFP-2", "FDF-1", "CP-4")}
        self.knowledge = SimpleNamespace(site=SimpleNamespace(machines=machines))

    def prepare(self) -> None:
        """Nothing to do ahead."""

    def view(self) -> View:
        """Return the consultation as it stands."""
        left = [question for name, question in QUESTIONS.items() if name not in self.said]
        rows = [self._row(name, answer, "") for name, answer in self.said.items()]
        rows += [self._row(name, answer, machine) for (machine, name), answer in self.elsewhere.items()]
        milky = self.said.get("bearing-oil-look", Answer()).value == "milky"
        pressure = self.said.get("exhaust-pressure", Answer())
        high = pressure.value == "high" or (pressure.number or 0) > 2.6
        known = ENDED._replace(
            machine_title=self.title,
            run=self.run,
            phase=self.phase,
            answered=tuple(rows),
            ranking=(LEAK if milky else LEAK._replace(probability=0.45, weights=()), FAILING, NOT_COVERED),
            cautions=(CALL,) if high else (),
            contradictions=(),
        )
        if not self.reported and not self.said and not self.stopped:
            return NOTHING_YET._replace(run=self.run)
        if self.stopped or not left:
            return known._replace(standing="stopped" if self.stopped else "settled")
        return known._replace(standing="asking", question=left[0], refer=())

    def do(self, intent: events.Intent) -> View:
        """Keep the intent and what it changes."""
        self.intents.append(intent)
        match intent:
            case events.Report(finding, answer):
                self.said[finding] = answer
            case events.CannotTell(finding):
                self.said[finding] = Answer(cannot_tell=True)
            case events.OtherMachine(machine, finding, answer):
                self.elsewhere[machine, finding] = answer
            case events.TakeBack(finding):
                del self.said[finding]
            case events.Back():
                if self.said:
                    self.said.popitem()
            case events.SetPhase(phase):
                self.phase = phase
            case events.Stop():
                self.stopped = True
            case events.GoOn():
                self.stopped = False
        return self.view()

    def understand(self, finding: str, text: str) -> Answer:
        """Read a number with or without a unit; refuse the rest."""
        self.note = ""
        number, _, unit = text.partition(" ")
        try:
            value = float(number)
        except ValueError:
            raise DiagnoseError(f"'{text}' is not one of the answers.") from None
        if not QUESTIONS[finding].unit:
            raise DiagnoseError(f"'{text}' is not one of the answers.")
        self.note = "" if unit else f"Taken as {QUESTIONS[finding].unit}."
        return Answer(number=value, typed=text)

    def search(self, text: str):
        """Know milk and pressure, and nothing else."""
        known = {"milk": ("bearing-oil-look", "milky"), "pressure": ("exhaust-pressure", "")}
        return tuple(SimpleNamespace(finding=f, value=v) for word, (f, v) in known.items() if word in text)

    def question_for(self, finding: str):
        """Return the question of a finding."""
        return QUESTIONS[finding]

    def why_question(self):
        """Say two lines."""
        return ("It helps to tell apart: jacket, overfilling.", "Worth 0.61 bits for about 3 min.")

    def why_cause(self, cause: str):
        """Name the cause and a reason."""
        return (f"{cause}: because of the milky oil.",)

    def why_not(self, cause: str):
        """Name the cause and what holds it down."""
        return (f"{cause}: held down by the clear oil.",)

    def find_cause(self, text: str):
        """Find a cause by a part of its title."""
        found = [row.cause for row in (LEAK, FAILING) if text.lower() in row.title.lower()]
        if not found:
            raise DiagnoseError(f"No cause is called '{text}'.")
        return found[0]

    @staticmethod
    def _row(finding: str, answer: Answer, machine: str) -> AnsweredRow:
        said = "can't tell" if answer.cannot_tell else answer.typed or answer.value
        said = said if answer.sure else f"{said} (not sure)"
        return AnsweredRow(finding, QUESTIONS[finding].ask, said, "", answer.sure, answer.cannot_tell, machine)
