from __future__ import annotations

import pytest
from django.contrib.auth import authenticate
from django.test import RequestFactory

from program.management.demo_people import SIGN_INS, make_people
from shared.models import Person, Program, Role, User
from sponsors.models import Contact
from tests.factories.shared import make_person, make_program
from tests.factories.sponsors import make_sponsor

pytestmark = pytest.mark.django_db


@pytest.fixture
def program() -> Program:
    make_person(name="Rosalind Amadi")
    make_person(name="Sten Voss")
    make_sponsor(name="Larkspur Radiator Shop")
    return make_program()


def test_each_can_sign_in_as_printed(program: Program) -> None:
    make_people(program)
    for person in SIGN_INS:
        request = RequestFactory().post("/accounts/sign-in/")
        user = authenticate(request, username=person.username, password=person.password)
        assert isinstance(user, User)
        assert user.role_kinds() == set(person.kinds)


def test_the_technicians_and_the_sponsor_belong_to_their_rows(program: Program) -> None:
    make_people(program)
    assert Person.objects.get(user__username="rosalind").name == "Rosalind Amadi"
    assert Person.objects.get(user__username="sten").name == "Sten Voss"
    assert Contact.objects.get(user__username="benno").sponsor.name == "Larkspur Radiator Shop"


def test_those_there_stay_as_they_are(program: Program) -> None:
    make_people(program)
    imke = User.objects.get(username="imke")
    imke.set_password("changed-by-somebody")
    imke.save()
    make_people(program)
    assert User.objects.get(username="imke").check_password("changed-by-somebody")
    assert (User.objects.count(), Role.objects.count(), Contact.objects.count()) == (5, 5, 1)
