"""Who is signed in, and until when."""

from __future__ import annotations

import stat
from collections.abc import Iterator
from pathlib import Path

import anyio
import pytest

from ledger.actions.entries import take_back
from ledger.actions.keys import enroll, revoke
from ledger.errors import StoreError
from ledger.field.answers import Refusal
from ledger.field.device import Device
from ledger.field.people import ASKS
from ledger.field.sessions import MOST_DEVICES, MOST_PEOPLE, Session, SignedIn, new_cookie
from tests.field.desk import HERE, SECRET, WORDS, Desk, desk_at, make_ledger


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[Desk]:
    with desk_at(make_ledger(tmp_path)) as found:
        yield found


def sign_in(
    desk: Desk,
    official: str,
    passphrase: str | None = None,
    *,
    on: Device | None = None,
    address: str = HERE,
) -> Device:
    device = desk.again(on) if on else desk.new_device()
    return anyio.run(desk.people.sign_in, device, official, passphrase, address)


def code_of(device: Device, official: str) -> str:
    return next(one.code for one in device.people if one.official == official)


def refused(status: int, code: str) -> pytest.RaisesExc[Refusal]:
    return pytest.RaisesExc(
        Refusal, check=lambda error: (error.status, error.code) == (status, code)
    )


def test_a_passphrase_signs_in_and_confirms(desk: Desk) -> None:
    before = desk.new_device()
    device = anyio.run(desk.people.sign_in, before, "wa", WORDS, HERE)
    assert device.confirmed == ("wa",)
    assert device.cookie != before.cookie
    assert desk.again(before).people == ()


def test_a_wrong_passphrase_does_not(desk: Desk) -> None:
    with refused(422, "wrong_passphrase"):
        sign_in(desk, "wa", "other words")
    with refused(422, "no_key"):
        sign_in(desk, "we", WORDS)
    with refused(422, "refused"):
        sign_in(desk, "nobody", WORDS)
    assert not list(desk.people.sessions)


def test_five_wrong_in_five_minutes_and_then_not_the_right_one_either(desk: Desk) -> None:
    for _ in range(5):
        with refused(422, "wrong_passphrase"):
            sign_in(desk, "wa", "other words")
    with refused(429, "wait"):
        sign_in(desk, "wa", WORDS)
    assert sign_in(desk, "rg", WORDS).confirmed == ("rg",)
    desk.clock.pass_by(minutes=5)
    assert sign_in(desk, "wa", WORDS).confirmed == ("wa",)


def test_a_busy_ledger_is_no_wrong_guess(desk: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    def busy(*args: object) -> str:
        raise StoreError("another program writes")

    with monkeypatch.context() as patch:
        patch.setattr("ledger.field.people.prove", busy)
        for _ in range(6):
            with pytest.raises(StoreError):
                sign_in(desk, "wa", WORDS)
    assert sign_in(desk, "wa", WORDS).confirmed == ("wa",)


def test_strangers_everywhere_leave_the_processor_to_the_scale(
    desk: Desk, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("ledger.field.people.GUESSES", 3)
    desk.begin()
    for number in range(3):
        for official in ("wa", "rg"):
            with pytest.raises(Refusal) as told:
                sign_in(desk, official, "other words", address=f"192.0.2.{number}")
    assert told.value.code == "wait"
    with refused(429, "wait"):
        sign_in(desk, "rg", WORDS)
    assert sign_in(desk, "we").people
    desk.clock.pass_by(minutes=5)
    for _ in range(9):
        assert sign_in(desk, "rg", WORDS).confirmed == ("rg",)


def test_many_guesses_at_once_are_no_way_around(desk: Desk) -> None:
    told: list[str] = []

    async def guess() -> None:
        try:
            await desk.people.sign_in(desk.new_device(), "wa", "other words", HERE)
        except Refusal as error:
            told.append(error.code)

    async def guesses() -> None:
        async with anyio.create_task_group() as group:
            for _ in range(20):
                group.start_soon(guess)

    anyio.run(guesses)
    assert sorted(told) == ["wait"] * 15 + ["wrong_passphrase"] * 5


def test_several_people_on_one_device(desk: Desk) -> None:
    first = sign_in(desk, "wa", WORDS)
    both = sign_in(desk, "rg", WORDS, on=first)
    assert both.cookie == first.cookie
    assert both.confirmed == ("wa", "rg")
    left = desk.people.sign_out(both, "wa")
    assert left.confirmed == ("rg",)
    assert desk.people.sign_out(left).people == ()
    assert not list(desk.people.sessions)


def test_a_device_holds_so_many_people(desk: Desk) -> None:
    people = tuple(SignedIn(f"o{n}", "key", 0, 1) for n in range(MOST_PEOPLE))
    session = Session("x", "y", people).with_person(SignedIn("last", "key", 0, 1))
    assert len(session.people) == MOST_PEOPLE
    assert session.people[-1].official == "last"


def test_without_a_passphrase_somebody_confirms(desk: Desk) -> None:
    device = sign_in(desk, "we")
    assert (len(device.people), device.confirmed) == (1, ())
    office = sign_in(desk, "rg", WORDS)
    code = code_of(device, "we")
    with refused(422, "wrong_code"):
        desk.confirm(office, "we", f"{(int(code) + 1) % 10**6:06}", HERE)
    desk.confirm(office, "we", code, HERE)
    (person,) = desk.again(device).people
    assert (person.is_confirmed, person.by, person.code) == (True, "rg", "")


def test_a_code_is_for_one_person_and_half_an_hour(desk: Desk) -> None:
    device, other = sign_in(desk, "we"), sign_in(desk, "pc")
    office = sign_in(desk, "rg", WORDS)
    if code_of(device, "we") != code_of(other, "pc"):
        with refused(422, "wrong_code"):
            desk.confirm(office, "we", code_of(other, "pc"), HERE)
    desk.clock.pass_by(minutes=30)
    with refused(422, "wrong_code"):
        desk.confirm(office, "we", code_of(device, "we"), HERE)
    again = sign_in(desk, "we", on=device)
    desk.confirm(office, "we", code_of(again, "we"), HERE)
    assert desk.again(again).confirmed == ("we",)


def test_a_code_works_once(desk: Desk) -> None:
    device, office = sign_in(desk, "we"), sign_in(desk, "rg", WORDS)
    code = code_of(device, "we")
    desk.confirm(office, "we", code, HERE)
    with refused(422, "wrong_code"):
        desk.confirm(office, "we", code, HERE)
    with refused(422, "wrong_code"):
        desk.confirm(office, "we", "", HERE)


@pytest.mark.parametrize(
    ("by", "official", "may"),
    [
        ("rg", "we", True), ("ap", "we", True), ("dp", "so", True), ("rg", "dp", True),
        ("so", "we", True), ("so", "pc", True), ("bo", "pc", True), ("so", "ga", True),
        ("so", "ho", False), ("so", "rg", False), ("bo", "ca", False), ("so", "cc", False),
        ("we", "pc", False), ("pc", "we", False), ("ca", "we", False), ("ho", "we", False),
        ("rg", "rg", False), ("so", "so", False),
    ],
)  # fmt: skip
def test_who_confirms_whom(desk: Desk, by: str, official: str, may: bool) -> None:
    enroll(desk.store, by, by="rg", replace=True, acting=SECRET)
    device, other = sign_in(desk, official), sign_in(desk, by, WORDS)
    code = code_of(device, official)
    if may:
        desk.confirm(other, official, code, HERE)
    else:
        with refused(403, "not_yours"):
            desk.confirm(other, official, code, HERE)
    assert (official in desk.again(device).confirmed) == may


def test_who_is_not_confirmed_confirms_nobody(desk: Desk) -> None:
    device, office = sign_in(desk, "we"), sign_in(desk, "dp")
    with refused(403, "not_yours"):
        desk.confirm(office, "we", code_of(device, "we"), HERE)


def test_the_terminal_confirms_on_the_device_itself_and_each_code_once(desk: Desk) -> None:
    device = sign_in(desk, "dp")
    (code,) = desk.told
    with refused(422, "refused"):
        desk.people.confirm_by_terminal(desk.new_device(), "dp", code, HERE)
    with refused(422, "wrong_code"):
        desk.people.confirm_by_terminal(device, "dp", f"{(int(code) + 1) % 10**6:06}", HERE)
    desk.people.confirm_by_terminal(device, "dp", code, HERE)
    assert desk.again(device).confirmed == ("dp",)
    other = sign_in(desk, "so")
    assert len(desk.told) == 2
    if desk.told[1] != code:
        with refused(422, "wrong_code"):
            desk.people.confirm_by_terminal(other, "so", code, HERE)


def test_codes_are_guessed_at_slowly_from_anywhere(desk: Desk) -> None:
    device = sign_in(desk, "dp")
    wrong = f"{(int(desk.told[0]) + 1) % 10**6:06}"
    for number in range(10):
        with refused(422, "wrong_code"):
            desk.people.confirm_by_terminal(device, "dp", wrong, f"192.0.2.{number}")
    with refused(429, "wait"):
        desk.people.confirm_by_terminal(device, "dp", desk.told[0], "192.0.2.99")


def test_forty_people_at_one_address_are_confirmed_in_a_minute(desk: Desk) -> None:
    office = sign_in(desk, "rg", WORDS)
    for _ in range(40):
        device = sign_in(desk, "we")
        desk.confirm(office, "we", code_of(device, "we"), HERE)
        other = sign_in(desk, "dp")
        desk.people.confirm_by_terminal(other, "dp", desk.told[-1], HERE)
    assert len([one for one in desk.people.sessions if one.people[0].is_confirmed]) == 81


def test_somebody_who_may_confirm_does_not_guess_codes_either(desk: Desk) -> None:
    device, office = sign_in(desk, "we"), sign_in(desk, "rg", WORDS)
    wrong = f"{(int(code_of(device, 'we')) + 1) % 10**6:06}"
    for _ in range(5):
        with refused(422, "wrong_code"):
            desk.confirm(office, "we", wrong, HERE)
    with refused(429, "wait"):
        desk.confirm(office, "we", code_of(device, "we"), HERE)
    desk.clock.pass_by(minutes=5)
    desk.confirm(office, "we", code_of(device, "we"), HERE)


def test_asking_for_codes_has_a_limit_too(desk: Desk) -> None:
    for _ in range(ASKS):
        sign_in(desk, "we")
    with refused(429, "wait"):
        sign_in(desk, "we")


def test_a_session_ends_after_twelve_hours(desk: Desk) -> None:
    device = sign_in(desk, "wa", WORDS)
    desk.clock.pass_by(hours=11.99)
    both = sign_in(desk, "rg", WORDS, on=device)
    desk.clock.pass_by(hours=0.01)
    assert desk.again(both).confirmed == ("rg",)
    desk.clock.pass_by(hours=12)
    assert desk.again(both).confirmed == ()
    assert not list(desk.people.sessions)


def test_a_device_that_does_not_come_back_is_forgotten(desk: Desk) -> None:
    sign_in(desk, "wa", WORDS)
    sign_in(desk, "we")
    desk.clock.pass_by(minutes=30)
    sign_in(desk, "pc")
    assert [one.people[0].official for one in desk.people.sessions] == ["wa", "pc"]
    desk.clock.pass_by(hours=12)
    sign_in(desk, "rg", WORDS)
    assert [one.people[0].official for one in desk.people.sessions] == ["rg"]


def test_a_killed_server_forgets_nobody(desk: Desk) -> None:
    device, waiting = sign_in(desk, "wa", WORDS), sign_in(desk, "we")
    token = desk.people.sessions.token(device.cookie)
    desk.begin()
    assert desk.again(device).confirmed == ("wa",)
    assert desk.people.sessions.token(device.cookie) == token
    assert code_of(desk.again(waiting), "we") == code_of(waiting, "we")
    desk.people.sign_out(desk.again(device))
    desk.begin()
    assert desk.again(device).people == ()


def test_the_file_holds_no_cookie_and_no_passphrase(desk: Desk) -> None:
    device = sign_in(desk, "wa", WORDS)
    file = desk.path.with_name("desk.weighbook.sessions")
    content = file.read_text()
    assert device.cookie not in content
    assert WORDS not in content
    assert stat.S_IMODE(file.stat().st_mode) == 0o600
    assert device.cookie not in repr(list(desk.people.sessions))


def test_another_file_in_its_place_is_no_reason_to_sign_anyone_in(desk: Desk) -> None:
    file = desk.path.with_name("desk.weighbook.sessions")
    file.write_text('{"sessions": [{"name": 1}]}')
    with pytest.raises(StoreError, match="not a file of sessions"):
        desk.begin()


def test_a_key_revoked_or_replaced_signs_its_holder_out_at_the_next_call(desk: Desk) -> None:
    device = sign_in(desk, "wa", WORDS)
    enroll(desk.store, "wa", by="rg", replace=True, acting=SECRET)
    assert desk.again(device).people == ()
    device = sign_in(desk, "wa", WORDS)
    assert device.confirmed == ("wa",)
    revoke(desk.store, "wa", by="rg", reason="lost", acting=SECRET)
    assert desk.again(device).people == ()


def test_a_role_withdrawn_signs_its_holder_out_at_the_next_call(desk: Desk) -> None:
    event = desk.state("appoint", value="wb", name="Bo Windlestraw", to="play_counter")
    enroll(desk.store, "wb", by="rg", acting=SECRET)
    device = sign_in(desk, "wb", WORDS)
    assert device.may("plays", "g1")
    take_back(desk.store, [event], by="rg", reason="another comes")
    assert desk.again(device).people == ()


def test_a_confirmation_holds_for_the_roles_that_it_could_confirm(desk: Desk) -> None:
    enroll(desk.store, "so", by="rg", acting=SECRET)
    device, other = sign_in(desk, "we"), sign_in(desk, "so", WORDS)
    desk.confirm(other, "we", code_of(device, "we"), HERE)
    desk.state("appoint", value="we", to="play_counter", game="g1")
    assert desk.again(device).confirmed == ("we",)
    desk.state("appoint", value="we", to="board_member")
    assert desk.again(device).people == ()


def test_a_confirmation_ends_with_the_role_of_who_gave_it(desk: Desk) -> None:
    made = desk.state("appoint", value="so2", name="Bo Windlestraw", to="site_official")
    enroll(desk.store, "so2", by="rg", acting=SECRET)
    device, other = sign_in(desk, "we"), sign_in(desk, "so2", WORDS)
    desk.confirm(other, "we", code_of(device, "we"), HERE)
    take_back(desk.store, [made], by="rg", reason="not they")
    assert desk.again(device).people == ()


def test_a_role_given_without_authority_signs_nobody_in(desk: Desk) -> None:
    desk.state("appoint", by="wa", value="wb", name="Bo Windlestraw", to="registrar")
    with refused(422, "refused"):
        sign_in(desk, "wb")


def test_ending_sessions(desk: Desk) -> None:
    office, first = sign_in(desk, "rg", WORDS), sign_in(desk, "wa", WORDS)
    second = sign_in(desk, "wa", WORDS)
    both = sign_in(desk, "we", on=second)
    names = {hash_: one.name for one in desk.people.sessions for hash_ in [one.cookie_hash]}
    name = names[next(o.cookie_hash for o in desk.people.sessions if o.of("we"))]
    with refused(404, "unknown"):
        desk.people.revoke(first, "nothing", None, all_may=False)
    with refused(403, "not_yours"):
        desk.people.revoke(first, name, None, all_may=False)
    desk.people.revoke(first, name, "wa", all_may=False)
    assert [one.official for one in desk.again(both).people] == ["we"]
    desk.people.revoke(office, name, None, all_may=True)
    assert desk.again(both).people == ()
    assert desk.again(first).confirmed == ("wa",)


def test_sessions_are_bounded_and_those_that_nobody_confirmed_go_first(desk: Desk) -> None:
    kept = sign_in(desk, "wa", WORDS)
    waiting = SignedIn("we", "to confirm", desk.clock(), desk.clock() + 100, code="000000")
    sessions = desk.people.sessions
    sessions.keep(*(Session.new(new_cookie()).with_person(waiting) for _ in range(MOST_DEVICES)))
    assert len(list(sessions)) == MOST_DEVICES
    assert desk.again(kept).confirmed == ("wa",)


@pytest.mark.parametrize("cookie", ["", "x", "a" * 43 + "\n", "é" * 43, "a" * 44, "../../etc"])
def test_no_cookie_of_ours_is_a_new_device(desk: Desk, cookie: str) -> None:
    device = desk.people.device(cookie)
    assert device.is_new
    assert device.cookie != cookie
