"""The device ahead of a motor, against worked figures of the code's table and its exceptions."""

from __future__ import annotations

from fractions import Fraction

import pytest

from splicewright.question.vocabulary import OVERCURRENT_DEVICE
from splicewright.tables.motors import largest_motor_device, motor_devices, usual_motor_device

CODE = "nfpa70-2023"


def test_the_table_knows_every_kind_that_a_question_may_say():
    assert motor_devices() == set(OVERCURRENT_DEVICE)


@pytest.mark.parametrize(
    ("amperes", "device", "usual", "most"),
    [
        # 10 hp at 460 V: 14 A, 35 A by the table; 28 A at 230 V: 70 A.
        ("14", "inverse-time-breaker", 35, 56),
        ("28", "inverse-time-breaker", 70, 112),
        ("100", "inverse-time-breaker", 250, 400),
        ("100.1", "inverse-time-breaker", 300, Fraction("300.3")),
        # 1/3 hp at 115 V: 7.2 A, 18 A, the next rating is 20 A.
        ("7.2", "inverse-time-breaker", 20, Fraction("28.8")),
        ("14", "time-delay-fuse", 25, Fraction("31.5")),
        ("14", "nontime-delay-fuse", 45, 56),
        ("14", "instantaneous-trip-breaker", 125, 238),
        # The next rating up may be more than the exception's percentage.
        ("1", "time-delay-fuse", 10, 10),
    ],
)
def test_a_motor_has_what_its_kind_of_device_may_be(amperes, device, usual, most):
    assert usual_motor_device(Fraction(amperes), device, CODE) == usual
    assert largest_motor_device(Fraction(amperes), device, CODE) == most


def test_the_least_rating_is_fifteen_before_2023():
    assert usual_motor_device(Fraction(1), "time-delay-fuse", "nfpa70-2020") == 15
