"""One survey of several: the best known claim of each fact wins, and the merge says so."""

from __future__ import annotations

from itertools import permutations
from pathlib import Path

import pytest

from catalogue.toml_source import parse_toml
from estimator.survey.fact import Evidence
from estimator.survey.merge import merge_surveys
from estimator.survey.model import Survey
from estimator.survey.toml import read_survey, survey_from
from estimator.survey.writing import survey_text, toml_value

DEMO = sorted((Path(__file__).parents[2] / "demo_jobs").glob("*/survey.toml"))
HEAD = '[job]\nid = "M-1"\nparts = ["storage"]\nevidence = "seen"\n'


def survey(text: str, head: str = HEAD) -> Survey:
    return survey_from(parse_toml(head + text, "m.toml"))


def wall(word: str, evidence: str) -> Survey:
    return survey(f'[storage]\nwall = {{ value = "{word}", evidence = "{evidence}" }}\n')


def test_better_evidence_wins_whichever_comes_first() -> None:
    said, seen = wall("stud", "customer said"), wall("dense brick", "measured")
    for order in ([("a", said), ("b", seen)], [("b", seen), ("a", said)]):
        merged = merge_surveys(order)
        assert merged.survey.storage.wall.value == "dense brick"
        (taken,) = merged.taken
        assert (taken.fact, taken.differs) == ("storage.wall", True)
        assert (taken.taken.source, [claim.value for claim in taken.left]) == ("b", ["stud"])


def test_of_two_claims_known_equally_well_the_later_wins() -> None:
    merged = merge_surveys([("a", wall("stud", "seen")), ("b", wall("stone", "seen"))])
    assert merged.survey.storage.wall.value == "stone"
    assert merged.taken[0].taken.source == "b"


def test_a_known_fact_is_never_lost_to_one_that_nobody_knows() -> None:
    merged = merge_surveys([("a", wall("stud", "assumed")), ("b", survey(""))])
    assert merged.survey.storage.wall.value == "stud"
    assert merged.taken == ()


def test_claims_that_agree_are_told_as_agreeing() -> None:
    merged = merge_surveys([("a", wall("stud", "seen")), ("b", wall("stud", "measured"))])
    assert [(each.differs, each.taken.evidence) for each in merged.taken] == [(False, "measured")]


def test_planes_of_one_name_are_one_plane_and_others_are_added() -> None:
    head = HEAD.replace('["storage"]', '["panels"]')
    a = survey('[[planes]]\nname = "Rear roof"\ncovering = "metal"\n', head)
    b = survey('[[planes]]\nname = "front"\n[[planes]]\nname = "rear  roof"\npanels = 6\n', head)
    merged = merge_surveys([("a", a), ("b", b)]).survey
    assert [plane.name for plane in merged.planes] == ["rear  roof", "front"]
    assert merged.planes[0].covering.value == "metal"
    assert merged.planes[0].panels.value == 6


def test_parts_and_remarks_are_gathered_and_the_rest_of_the_head_is_the_last_said() -> None:
    a = survey("", '[job]\nid = "A"\ntitle = "first"\nparts = ["storage"]\nremarks = ["x"]\n')
    b = survey("", '[job]\nid = "B"\nparts = ["backup", "storage"]\nremarks = ["y"]\n')
    job = merge_surveys([("a", a), ("b", b)]).survey.job
    assert (job.id, job.title) == ("B", "first")
    assert job.parts == ("storage", "backup")
    assert job.remarks == ("x", "y")


def test_the_order_of_sources_changes_nothing_where_evidence_differs() -> None:
    sources = [("a", wall("stud", "assumed")), ("b", wall("stone", "photographed")),
               ("c", wall("dense brick", "customer said"))]
    values = {merge_surveys(list(order)).survey.storage.wall.value
              for order in permutations(sources)}
    assert values == {"stone"}


def test_a_survey_merged_with_itself_is_itself() -> None:
    for path in DEMO:
        once = read_survey(path)
        merged = merge_surveys([("a", once), ("b", once)]).survey
        for name in Survey.model_fields:
            if name != "job":
                assert getattr(merged, name) == getattr(once, name), (path, name)


def test_without_any_survey_there_is_nothing_to_merge() -> None:
    with pytest.raises(ValueError, match="nothing to merge"):
        merge_surveys([])


@pytest.mark.parametrize("path", DEMO, ids=lambda path: path.parent.name)
def test_a_survey_written_out_reads_back_as_the_same_survey(path: Path) -> None:
    once = read_survey(path)
    again = survey_from(parse_toml(survey_text(once), "again.toml"))
    assert _plain(again) == _plain(once)


def _plain(held: Survey) -> object:
    """Return a survey without the places of its facts, which are those of the file."""
    def bare(data: object) -> object:
        if isinstance(data, dict):
            return {key: bare(value) for key, value in data.items() if key != "place"}
        return [bare(each) for each in data] if isinstance(data, list | tuple) else data
    return bare(held.model_dump())


def test_hostile_text_is_written_so_that_it_reads_back() -> None:
    text = 'a "b" \\ c\nd\te = [x]'
    made = survey_from(parse_toml(HEAD + f"remarks = [{toml_value(text)}]\n", "m.toml"))
    assert made.job.remarks == (text,)
    assert toml_value(Evidence.MEASURED) == '"measured"'
