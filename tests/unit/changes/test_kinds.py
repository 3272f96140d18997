"""Each kind of change does what first principles say, on a bike whose figures can be worked out by hand."""

from dataclasses import replace
from math import asin, cos, exp, pi, radians, sin

import numpy as np
import pytest

from clutchwright import chain, changes
from clutchwright.bikefile import find_key
from clutchwright.changes.limits import HIGHEST_FRICTION
from clutchwright.errors import Refusal
from clutchwright.physics import PULL
from clutchwright.physics.cable import Cable, Hydraulic
from clutchwright.physics.springs import Wire
from tests.unit.changes.bikes import DIAPHRAGM, full_lift, plain_bike, pull_at, six_springs, usual_bike

LIFT = 1.2e-3  # beyond the pack's 0.2 mm, so that the bearing carries all springs


def changed(bike, *texts):
    return changes.apply(bike, [changes.parse(text) for text in texts])


def hand_pull(*, finger=0.080, cable=0.020, arm=0.040, load=6 * 25e3 * (9e-3 + LIFT)):
    """Pull of the plain bike at LIFT: 5 mm pinion, arm square to the cable at rest."""
    return load * 0.005 / (arm * cos(LIFT / 0.005)) * cable / finger


def test_the_plain_bike_is_what_the_hand_works_out():
    assert pull_at(plain_bike(), LIFT) == pytest.approx(hand_pull(), rel=1e-12)


class TestPerchShift:
    def test_pull_falls_and_travel_grows_with_the_radius_for_the_same_lift(self):
        bike = plain_bike()
        after = changed(bike, "perch-shift:shift_mm=10")
        assert pull_at(after, LIFT) == pytest.approx(hand_pull(finger=0.090), rel=1e-12)
        assert full_lift(after) == pytest.approx(full_lift(bike), rel=1e-12)
        assert after.lever.full_travel == pytest.approx(bike.lever.full_travel * 90 / 80)
        assert after.lever.free_play == pytest.approx(bike.lever.free_play * 90 / 80)

    def test_the_reach_grows_and_the_stop_stays(self):
        bike = plain_bike()
        after = changed(bike, "perch-shift:shift_mm=10")
        assert after.lever.stop_span == bike.lever.stop_span
        assert after.lever.rest_span == pytest.approx(0.030 + 0.050 * 90 / 80)

    def test_fingers_beyond_the_blade_are_refused(self):
        bike = plain_bike(lever=replace(plain_bike().lever, blade_length=0.095))
        changed(bike, "perch-shift:shift_mm=14")
        with pytest.raises(
            Refusal, match=r"^perch-shift: the finger point would lie 96 mm .* usable 95 mm of the blade$"
        ):
            changed(bike, "perch-shift:shift_mm=16")


def test_lever_turn_changes_the_wrist_alone():
    bike = plain_bike()
    after = changed(bike, "lever-turn:level_angle_deg=-9")
    assert after.lever.level_angle == pytest.approx(-pi / 20)
    assert replace(after, lever=replace(after.lever, level_angle=None)) == bike


class TestCableRadius:
    def test_pull_and_cable_drawn_fall_in_the_ratio_of_the_radii(self):
        bike = plain_bike()
        after = changed(bike, "cable-radius:radius_mm=17")
        assert pull_at(after, LIFT) == pytest.approx(hand_pull(cable=0.017), rel=1e-12)
        assert after.lever.full_draw == pytest.approx(bike.lever.full_draw * 17 / 20, rel=1e-12)

    def test_the_wear_that_the_free_play_lasts_falls_in_the_same_ratio(self):
        bike = plain_bike()
        after = changed(bike, "cable-radius:radius_mm=17")
        assert after.lever.free_draw == pytest.approx(bike.lever.free_draw * 17 / 20, rel=1e-12)


class TestReachScrew:
    def test_the_stroke_shrinks_as_much_as_the_reach(self):
        bike = plain_bike()
        after = changed(bike, "reach-screw:rest_span_mm=70")
        assert after.lever.full_travel == pytest.approx(0.040)
        drawn = (0.040 - 0.004) * 20 / 80
        assert full_lift(after) == pytest.approx(0.005 * asin(drawn / 0.040), rel=1e-9)
        assert pull_at(after, LIFT) == pull_at(bike, LIFT)

    def test_a_stroke_shorter_than_the_free_play_is_refused(self):
        with pytest.raises(Refusal, match=r"^reach-screw: the free play of 4\.0 mm .* whole travel of 3\.0 mm$"):
            changed(plain_bike(), "reach-screw:rest_span_mm=33")


class TestInlineUnit:
    def test_pull_falls_by_the_ratio_and_rises_by_the_drag(self):
        after = changed(plain_bike(), "inline-unit:ratio=1.25,drag_N=4,play_mm=0")
        assert pull_at(after, LIFT) == pytest.approx(hand_pull() / 1.25 + 4 * 20 / 80, rel=1e-12)

    def test_lift_falls_by_the_ratio_and_play(self):
        after = changed(plain_bike(), "inline-unit:ratio=1.25,play_mm=0.5")
        moved = ((0.050 - 0.004) * 20 / 80 - 0.5e-3) / 1.25
        assert full_lift(after) == pytest.approx(0.005 * asin(moved / 0.040), rel=1e-9)
        assert after.lever.free_play == pytest.approx(0.004 + 0.5e-3 * 80 / 20)

    def test_two_units_multiply(self):
        after = changed(plain_bike(), *["inline-unit:ratio=1.2,drag_N=1"] * 2)
        assert (after.line.ratio, after.line.drag) == (pytest.approx(1.44), 2.0)

    def test_play_beyond_the_stroke_is_refused(self):
        bike = plain_bike(lever=replace(plain_bike().lever, free_play=0.045))
        with pytest.raises(Refusal, match=r"^inline-unit: the free play of 53\.0 mm"):
            changed(bike, "inline-unit:ratio=1.1,play_mm=2")


class TestArmLength:
    def test_pull_falls_in_the_ratio_of_the_lengths(self):
        after = changed(plain_bike(), "arm-length:length_mm=50")
        assert pull_at(after, LIFT) == pytest.approx(hand_pull(arm=0.050), rel=1e-12)

    def test_the_sine_of_the_arm_angle_and_so_nearly_the_lift_falls_in_the_same_ratio(self):
        angles = [full_lift(bike) / 0.005 for bike in (plain_bike(), changed(plain_bike(), "arm-length:length_mm=50"))]
        assert sin(angles[1]) / sin(angles[0]) == pytest.approx(40 / 50, rel=1e-9)


class TestSpringsSofter:
    def test_all_softer_take_the_same_share_of_pull_and_clamp(self):
        bike = plain_bike()
        after = changed(bike, "springs-softer:rate_share=0.8")
        assert after.engaged_clamp == pytest.approx(0.8 * 1350.0)
        assert pull_at(after, LIFT) == pytest.approx(0.8 * hand_pull(), rel=1e-12)

    def test_every_second_softer_takes_half_of_that(self):
        after = changed(plain_bike(), "springs-softer:rate_share=0.8,positions=2+4+6")
        assert after.engaged_clamp == pytest.approx(0.9 * 1350.0)
        assert [spring.rate for spring in after.springs.springs] == [25e3, 20e3] * 3

    def test_nothing_is_claimed_of_the_new_springs_wire_and_solid_length(self):
        wire = Wire(2.5e-3, 18e-3, 8.0, "squared ground", "music")
        after = changed(plain_bike(springs=six_springs(wire=wire)), "springs-softer:rate_share=0.8,positions=1+4")
        assert after.springs.wire is None
        assert [spring.solid_length is None for spring in after.springs.springs] == [True, False, False] * 2

    def test_a_softer_diaphragm_spring_scales_the_load(self):
        bike = plain_bike(springs=DIAPHRAGM)
        after = changed(bike, "springs-softer:rate_share=0.85")
        assert after.springs.load(1e-3, 0.0) == pytest.approx(0.85 * bike.springs.load(1e-3, 0.0), rel=1e-12)

    def test_one_soft_spring_is_refused_for_its_side_pull(self):
        with pytest.raises(Refusal, match=r"^springs-softer: the springs would press 9\.1% .* \(at most 2%\)"):
            changed(plain_bike(), "springs-softer:rate_share=0.5,positions=1")

    def test_positions_on_a_diaphragm_spring_are_refused(self):
        with pytest.raises(Refusal, match=r"^springs-softer: this clutch has a diaphragm spring"):
            changed(plain_bike(springs=DIAPHRAGM), "springs-softer:rate_share=0.9,positions=1")


class TestSpringsFewer:
    @pytest.mark.parametrize("left_out", ["1+4", "2+5", "3+6"])
    def test_two_of_six_take_a_third_of_pull_and_clamp(self, left_out):
        after = changed(plain_bike(), f"springs-fewer:left_out={left_out}")
        assert after.engaged_clamp == pytest.approx(1350.0 * 2 / 3)
        assert pull_at(after, LIFT) == pytest.approx(hand_pull() * 2 / 3, rel=1e-12)

    def test_all_of_them_left_out_is_refused(self):
        with pytest.raises(Refusal, match=r"^springs-fewer: all 6 springs would be left out"):
            changed(plain_bike(), "springs-fewer:left_out=1+2+3+4+5+6")

    @pytest.mark.parametrize(
        ("bosses", "left_out", "unbalance"), [(6, "1+2", 1.73), (6, "1+3", 1.0), (5, "1", 1.0), (8, "1+4", 0.77)]
    )
    def test_unbalanced_patterns_are_refused(self, bosses, left_out, unbalance):
        with pytest.raises(Refusal, match=rf"^springs-fewer: .* leave an unbalance of {unbalance:.2f} springs"):
            changed(plain_bike(springs=six_springs(bosses=bosses)), f"springs-fewer:left_out={left_out}")

    def test_the_refusal_names_the_patterns_that_balance(self):
        with pytest.raises(Refusal, match=r"in balance are 1\+4 and these turned round$"):
            changed(plain_bike(), "springs-fewer:left_out=1+2")
        with pytest.raises(Refusal, match=r"with 1 empty no pattern of 5 balances$"):
            changed(plain_bike(springs=six_springs(bosses=5)), "springs-fewer:left_out=1")

    def test_the_refusal_gives_the_unbalance_when_the_mass_is_known(self):
        bike = plain_bike(springs=six_springs(mass=0.020))
        with pytest.raises(Refusal, match=r", 840 g mm \(at most"):  # 20 g at 42 mm, twice cos 60 degrees
            changed(bike, "springs-fewer:left_out=1+3")

    def test_fewer_than_two_thirds_are_refused(self):
        with pytest.raises(Refusal, match=r"^springs-fewer: 3 of 6 springs would be left \(at least 2/3"):
            changed(plain_bike(), "springs-fewer:left_out=1+3+5")

    def test_a_boss_without_a_spring_is_refused(self):
        with pytest.raises(Refusal, match=r"^springs-fewer: no spring on position 4; there is one on 2, 3, 5, 6$"):
            changed(plain_bike(), "springs-fewer:left_out=1+4", "springs-fewer:left_out=4")

    def test_a_diaphragm_spring_is_refused(self):
        with pytest.raises(Refusal, match=r"^springs-fewer: this clutch has a diaphragm spring, not coil springs$"):
            changed(plain_bike(springs=DIAPHRAGM), "springs-fewer:left_out=1+4")


class TestWashers:
    def test_clamp_falls_by_t_over_p_and_pull_by_t_over_p_plus_h(self):
        after = changed(plain_bike(), "washers:thickness_mm=1")
        assert after.engaged_clamp == pytest.approx(1350.0 * (1 - 1 / 9), rel=1e-12)
        assert pull_at(after, LIFT) == pytest.approx(hand_pull() * (1 - 1 / (9 + 1.2)), rel=1e-12)

    def test_a_washer_does_exactly_what_wear_does(self):
        thick, worn = changed(plain_bike(), "washers:thickness_mm=0.5"), plain_bike().worn(0.5e-3)
        assert chain.respond(thick).pull == pytest.approx(chain.respond(worn).pull, rel=1e-12)

    def test_washers_add_up_and_may_go_under_some_bolts_only(self):
        after = changed(plain_bike(), "washers:thickness_mm=1,positions=1+4", "washers:thickness_mm=0.5")
        assert [spring.washer for spring in after.springs.springs] == pytest.approx([1.5e-3, 0.5e-3, 0.5e-3] * 2)

    def with_room(self, **room):
        return plain_bike(clearance=replace(plain_bike().clearance, **room))

    def test_a_washer_wider_than_the_spring_is_refused(self):
        bike = self.with_room(spring_inner=12.4e-3)
        changed(bike, "washers:thickness_mm=1,outer_mm=11.8")
        with pytest.raises(
            Refusal, match=r"^washers: washer 12\.0 mm wide, .* below 11\.9 mm \(12\.4 mm less 0\.5 mm\)"
        ):
            changed(bike, "washers:thickness_mm=1,outer_mm=12")

    def test_the_wire_tells_the_spring_inside_when_nobody_measured_it(self):
        bike = plain_bike(springs=six_springs(wire=Wire(3e-3, 18e-3, 8.0, "squared ground", "music")))
        with pytest.raises(Refusal, match=r"below 11\.5 mm \(12\.0 mm less"):
            changed(bike, "washers:thickness_mm=1,outer_mm=11.6")

    @pytest.mark.parametrize("bore", [5.5, 6.0])
    def test_a_bore_that_does_not_pass_the_bolt_is_refused(self, bore):
        with pytest.raises(Refusal, match=rf"^washers: washer bore {bore} mm, but the bolt is 6\.0 mm"):
            changed(self.with_room(bolt_diameter=6e-3), f"washers:thickness_mm=1,bore_mm={bore}")

    def test_a_bolt_that_leaves_its_thread_is_refused(self):
        bike = self.with_room(thread_engagement=3e-3)
        changed(bike, "washers:thickness_mm=2.5")
        with pytest.raises(Refusal, match=r"^washers: -0\.5 mm of the spring bolts' thread would be left"):
            changed(bike, "washers:thickness_mm=3.5")

    def test_a_spring_loose_at_the_wear_limit_is_refused(self):
        bike = plain_bike(springs=six_springs(preload=4e-3))
        changed(bike, "washers:thickness_mm=3")
        with pytest.raises(
            Refusal, match=r"^washers: the loosest spring would be squeezed by -0\.40 mm .* of 0\.90 mm"
        ):
            changed(bike, "washers:thickness_mm=3.5")

    def test_washers_on_one_side_are_refused(self):
        with pytest.raises(Refusal, match=r"^washers: the springs would press 22\.4% .* off centre"):
            # worn, p = 8.1 mm: two neighbours, 60 degrees apart, lose 5 mm each: 5 sqrt(3)/(6 8.1 - 2 5) = 22.4 %
            changed(plain_bike(), "washers:thickness_mm=5,positions=1+2")

    def test_a_diaphragm_spring_is_refused(self):
        with pytest.raises(Refusal, match=r"^washers: this clutch has a diaphragm spring"):
            changed(plain_bike(springs=DIAPHRAGM), "washers:thickness_mm=1")


class TestCable:
    def bike(self):
        return plain_bike(line=Cable(bend=2.0, friction=0.15, drag=4.0, compliance=4e-6))

    def test_service_brings_friction_and_drag_down(self):
        after = changed(self.bike(), "cable-service:friction=0.07,drag_N=1.5")
        assert pull_at(after, LIFT) == pytest.approx(hand_pull() * exp(0.07 * 2.0) + 1.5 * 20 / 80, rel=1e-12)

    def test_service_never_makes_a_cable_worse(self):
        bike = plain_bike()
        assert changed(bike, "cable-service") == bike

    def test_gentler_bends(self):
        after = changed(self.bike(), "cable-routing:bend_deg=90")
        assert pull_at(after, LIFT) == pytest.approx(hand_pull() * exp(0.15 * pi / 2) + 4.0 * 20 / 80, rel=1e-12)

    def test_a_stiffer_cable_gives_lift_and_leaves_the_force(self):
        bike = plain_bike(line=Cable(bend=2.0, friction=0.0, drag=0.0, compliance=4e-6))
        after = changed(bike, "cable-stiffer:compliance_share=0.5")
        lever_ratio, arm = 80 / 20, 0.040 * cos(LIFT / 0.005)
        tension = hand_pull() * lever_ratio
        assert pull_at(after, LIFT) == pytest.approx(pull_at(bike, LIFT), rel=1e-12)
        # cable won at the lift's tension, carried over to the plate
        travels = [float(chain.at_lift(either, LIFT, PULL).travel) for either in (bike, after)]
        assert travels[0] - travels[1] == pytest.approx(lever_ratio * 2e-6 * tension, rel=1e-9)
        assert full_lift(after) - full_lift(bike) == pytest.approx(2e-6 * tension * 0.005 / arm, rel=0.15)

    @pytest.mark.parametrize(
        "text", ["cable-service", "cable-routing:bend_deg=90", "cable-stiffer", "inline-unit:ratio=1.2", "hydraulic"]
    )
    def test_without_a_cable_they_are_refused(self, text):
        with pytest.raises(Refusal, match=r"^[a-z-]+: this clutch has a hydraulic line, not a cable$"):
            changed(plain_bike(line=Hydraulic(1.0, 0.05, 1e-6)), text)


class TestFreePlay:
    def test_less_free_play_gives_its_travel_to_the_lift(self):
        after = changed(plain_bike(), "free-play:free_play_mm=2")
        drawn = (0.050 - 0.002) * 20 / 80
        assert full_lift(after) == pytest.approx(0.005 * asin(drawn / 0.040), rel=1e-9)

    def test_all_of_the_stroke_and_more_is_refused(self):
        bike = plain_bike(lever=replace(plain_bike().lever, free_play=0.021))
        with pytest.raises(Refusal, match=r"^reach-screw: the free play of 21\.0 mm .* whole travel of 20\.0 mm$"):
            changed(bike, "reach-screw:rest_span_mm=50")


WORSE = {
    "arm-length:length_mm=20": "length_mm = 20 .* since it is 40 already; give a larger value",
    "cable-routing:bend_deg=200": "bend_deg = 200 .* since it is 140 already; give a smaller value",
    "free-play:free_play_mm=6": "free_play_mm = 6 .* since it is 4 already; give a smaller value",
    "cable-service:friction=0.2": "friction = 0.2 .* since it is 0.15 already; give a smaller value",
    "cable-service:drag_N=5": "drag_N = 5 .* since it is 4 already; give a smaller value",
}


class TestNothingGetsWorse:
    def bike(self):
        return plain_bike(line=Cable(bend=radians(140.0), friction=0.15, drag=4.0, compliance=4e-6))

    @pytest.mark.parametrize("text", WORSE)
    def test_a_change_for_the_worse_is_refused_with_both_numbers(self, text):
        with pytest.raises(Refusal, match=f"^{text.partition(':')[0]}: {WORSE[text]}"):
            changed(self.bike(), text)

    @pytest.mark.parametrize(
        "text", ["arm-length:length_mm=40", "cable-routing:bend_deg=140", "free-play:free_play_mm=4"]
    )
    def test_as_it_is_already_is_no_worse(self, text):
        assert pull_at(changed(self.bike(), text), LIFT) == pytest.approx(pull_at(self.bike(), LIFT), rel=1e-9)

    def test_possible_bikes_are_not_judged(self):
        arm = replace(plain_bike().arm, length=np.array([[0.039], [0.041]]))
        assert changed(plain_bike(arm=arm), "arm-length:length_mm=40").arm.length == 0.040


class TestPlates:
    def test_grip_that_no_bike_file_may_have_is_refused(self):
        """0.13 x 1.5³ = 0.439, x 1.5⁴ = 0.658; bike files end at 0.6."""
        grippier = "plates:friction_share=1.5"
        changed(plain_bike(), *[grippier] * 3)
        with pytest.raises(Refusal, match=r"^plates: .* would be 0\.658 \(at most 0\.6 is known\)"):
            changed(plain_bike(), *[grippier] * 4)
        for key in ("pack.friction_static", "pack.friction_sliding"):
            assert find_key(key, {}).limits[1] == HIGHEST_FRICTION

    def test_friction_and_faces_multiply_the_capacity_and_leave_the_pull(self):
        bike = plain_bike()
        after = changed(bike, "plates:friction_share=1.2,extra_pairs=1")

        def capacity(bike):
            return bike.pack.capacity(bike.engaged_clamp, bike.pack.friction_static)

        assert capacity(after) == pytest.approx(capacity(bike) * 1.2 * 16 / 14, rel=1e-12)
        assert after.pack.friction_sliding == pytest.approx(0.11 * 1.2)
        assert pull_at(after, LIFT) == pytest.approx(hand_pull(), rel=1e-12)

    def test_more_faces_want_more_lift(self):
        after = changed(plain_bike(), "plates:friction_share=1,extra_pairs=1")
        squash = 0.2e-3 * 16 / 14
        assert after.pack.release_lift(after.engaged_clamp) == pytest.approx(squash + 16 * 0.05e-3, rel=1e-12)

    def test_a_measured_pack_curve_stretches_with_the_faces(self):
        curve = ((0.0, 0.0), (0.15e-3, 500.0), (0.25e-3, 1500.0))
        bike = plain_bike(pack=replace(plain_bike().pack, curve=curve))
        after = changed(bike, "plates:extra_pairs=1")
        assert after.pack.squash(1000.0) == pytest.approx(bike.pack.squash(1000.0) * 16 / 14, rel=1e-12)


class TestHydraulic:
    def test_two_seals_stand_in_the_place_of_bends_and_drag(self):
        bike = plain_bike(line=Cable(bend=2.0, friction=0.15, drag=4.0, compliance=4e-6))
        after = changed(bike, "hydraulic:area_ratio=1.2,seal_loss=0.04,expansion_mm_per_N=0.002")
        assert pull_at(after, LIFT) == pytest.approx(hand_pull() / 1.2 / 0.96**2, rel=1e-12)
        assert after.line == Hydraulic(1.2, 0.04, 2e-6)


class TestAssistSpring:
    TEXT = "assist-spring:rate_N_per_mm=1.5,pretension_N=80,hook_radius_mm=15,post_radius_mm=40,before_centre_deg=6"

    def test_the_tension_changes_by_the_moment_of_the_spring_in_the_plane(self):
        bike = plain_bike()
        after = changed(bike, self.TEXT)
        post, rest = np.array([-0.040, 0.0]), np.radians(-6.0)
        for angle in (0.02, 0.15, 0.28):
            hook = 0.015 * np.array([np.cos(rest + angle), np.sin(rest + angle)])
            start = 0.015 * np.array([np.cos(rest), np.sin(rest)])
            length, at_rest = np.linalg.norm(post - hook), np.linalg.norm(post - start)
            force = (80.0 + 1.5e3 * (length - at_rest)) * (post - hook) / length
            moment = hook[0] * force[1] - hook[1] * force[0]
            tensions = [chain.at_angle(either, angle, PULL).tension for either in (bike, after)]
            assert tensions[0] - tensions[1] == pytest.approx(moment / (0.040 * cos(angle)), rel=1e-9)
            assert (moment > 0.0) == (angle > np.radians(6.0))

    def test_a_second_one_is_refused(self):
        with pytest.raises(Refusal, match=r"^assist-spring: the arm has an assist spring already"):
            changed(plain_bike(), self.TEXT, self.TEXT)

    def test_a_spring_that_would_hold_the_lever_in_is_refused(self):
        strong = (
            "assist-spring:rate_N_per_mm=0,pretension_N=1000,hook_radius_mm=60,post_radius_mm=90,before_centre_deg=1"
        )
        with pytest.raises(
            Refusal, match=r"^assist-spring: at \d\.\d\d mm lift with the pack worn by 0\.90 mm .* -\d+ N of"
        ):
            changed(plain_bike(), strong)

    def test_it_is_the_share_left_that_counts(self):
        """With no rate the spring takes F hook post sin(a)/l of the springs' moment; the worst place decides."""
        bike = plain_bike()

        def share_left(force):
            angle = np.linspace(1e-4, full_lift(bike) / 0.005, 2000)
            helped = 0.040 * 0.080 * np.sin(angle - np.radians(2.0))
            helped /= np.sqrt(0.040**2 + 0.080**2 + 2 * 0.040 * 0.080 * np.cos(angle - np.radians(2.0)))
            lift = 0.005 * angle
            worn = 6 * 25e3 * (9e-3 - 0.9e-3 + lift)
            pack = np.maximum(6 * 25e3 * 8.1e-3 - 1350.0 / 0.2e-3 * lift, 0.0)
            return np.min(1.0 - force * helped / ((worn - pack) * 0.005))

        forces = np.linspace(100.0, 990.0, 891)
        most = max(force for force in forces if share_left(force) > 0.2)
        text = "assist-spring:rate_N_per_mm=0,hook_radius_mm=40,post_radius_mm=80,before_centre_deg=2,pretension_N="
        changed(bike, f"{text}{most - 5}")
        with pytest.raises(Refusal, match="to bring the arm back"):
            changed(bike, f"{text}{most + 5}")

    def test_a_spring_that_goes_slack_is_refused(self):
        bike = usual_bike()
        slack = "assist-spring:rate_N_per_mm=50,pretension_N=1,hook_radius_mm=30,post_radius_mm=40,before_centre_deg=1"
        with pytest.raises(Refusal, match=r"^assist-spring: its force would fall to -\d+ N"):
            changed(bike, slack)

    def test_springs_left_out_later_count_too(self):
        bike = plain_bike(springs=six_springs(bosses=6))
        fitted = changed(
            bike,
            "assist-spring:rate_N_per_mm=0,pretension_N=670,hook_radius_mm=40,post_radius_mm=80,before_centre_deg=2",
        )
        with pytest.raises(Refusal, match=r"^springs-fewer: .* to bring the arm back"):
            changed(fitted, "springs-fewer:left_out=1+4")
