"""The same mechanism built in a rigid-body simulator gives the same pull and lift along the stroke.

MuJoCo gets only the shape of the parts: where pivots, cable ends and adjusters lie, which springs sit between which
points, and that the eccentric's centre stays in the yoke. Moment arms, ratios and the order of the events (slack, bite,
lift) are its own. The lever is turned by a stiff drive, held until all is at rest, and the moment of the drive is read.
There is no friction in either model: MuJoCo knows neither the capstan law nor a friction share.
"""

import math

import mujoco
import numpy as np
import pytest

from clutchwright import chain
from clutchwright.physics import PULL
from clutchwright.physics.lever import CamEnd, FarCable, NearCable
from clutchwright.physics.lift import Rack
from tests.independent.bikes import random_bike

AGREEMENT = 0.001
BIKES = 24
STATIONS = np.linspace(0.15, 1.0, 8)  # share of the whole lever stroke
FAR = 100.0  # [m]: over a thousand lever lengths, as good as parallel
STEP, TURNING, WAITING = 5e-4, 100, 400


def vector(*values):
    return " ".join(repr(float(value)) for value in values)


def lever_parts(lever):
    """XML of the lever, of its adjuster, and of the cable's path between them."""
    end = lever.cable_end
    if isinstance(end, CamEnd):
        # the cable's end sits on the cam 60° round from where the cable leaves it
        seat = (1.001 * end.radius * math.cos(-math.pi / 6), 1.001 * end.radius * math.sin(-math.pi / 6))
        outside = vector(2.0 * end.radius * math.cos(-1.0), 2.0 * end.radius * math.sin(-1.0), 0.0)
        body = f'<geom name="cam" type="cylinder" size="{vector(end.radius, 0.01)}"/>'
        adjuster = f'<site name="adjuster" pos="{vector(-0.2, -end.radius, 0.0)}"/><site name="out" pos="{outside}"/>'
        path = '<site site="lever_end"/><geom geom="cam" sidesite="out"/><site site="adjuster"/>'
    else:
        seat, body = (end.radius, 0.0), ""
        distance = end.distance if isinstance(end, NearCable) else FAR
        place = vector(end.radius + distance * math.cos(end.angle), -distance * math.sin(end.angle), 0.0)
        adjuster = f'<site name="adjuster" pos="{place}"/>'
        path = '<site site="lever_end"/><site site="adjuster"/>'
    return f'{body}<site name="lever_end" pos="{vector(*seat, 0.0)}"/>', adjuster, path


def arm_parts(arm, shaft):
    """XML of the arm, and of the fixed points round it."""
    toward = math.pi - arm.cable_angle
    sheath = vector(arm.length + FAR * math.cos(toward), shaft + FAR * math.sin(toward), 0.0)
    on_arm = f'<site name="arm_end" pos="{vector(arm.length, 0.0, 0.0)}"/>'
    fixed = f'<site name="sheath" pos="{sheath}"/>'
    tendon = ""
    if arm.assist is not None:
        spring = arm.assist
        hook = spring.hook_radius * np.array([math.cos(spring.start_angle), math.sin(spring.start_angle)])
        on_arm += f'<site name="hook" pos="{vector(*hook, 0.0)}"/>'
        fixed += f'<site name="post" pos="{vector(-spring.post_radius, shaft, 0.0)}"/>'
        slack = math.hypot(hook[0] + spring.post_radius, hook[1]) - spring.pretension / spring.rate
        tendon = (
            f'<spatial name="assist" stiffness="{spring.rate!r}" springlength="{slack!r}">'
            '<site site="hook"/><site site="post"/></spatial>'
        )
    return on_arm, fixed, tendon


def spring_parts(bike):
    """XML of the points on plate, cover and basket, and of the springs and the pack between them."""
    plate = cover = tendons = ""
    for spring in bike.springs.springs:
        turn = 2.0 * math.pi * spring.position / bike.springs.bosses
        x, z = bike.springs.circle_radius * math.cos(turn), bike.springs.circle_radius * math.sin(turn)
        room = spring.installed_length + spring.washer + bike.pack.wear
        plate += f'<site name="seat{spring.position}" pos="{vector(x, 0.0, z)}"/>'
        cover += f'<site name="cap{spring.position}" pos="{vector(x, room, z)}"/>'
        tendons += (
            f'<spatial stiffness="{float(spring.rate)!r}" springlength="{float(spring.free_length)!r}">'
            f'<site site="seat{spring.position}"/><site site="cap{spring.position}"/></spatial>'
        )
    squash = bike.springs.load_engaged(bike.pack.wear) / bike.pack.stiffness
    plate += '<site name="face" pos="0 0 0"/>'
    cover += '<site name="basket" pos="0 -0.03 0"/>'
    # a pack pushes while it is squeezed and never pulls
    tendons += (
        f'<spatial stiffness="{float(bike.pack.stiffness)!r}" springlength="{vector(0.03 + squash, 1.0)}">'
        '<site site="face"/><site site="basket"/></spatial>'
    )
    return plate, cover, tendons


def lift_parts(lift):
    """XML on the arm, on the plate, and of the equality that joins them."""
    hard = 'solref="0.001 1" solimp="0.9999 0.9999 0.001 0.5 2"'
    if isinstance(lift, Rack):
        return (
            "",
            "",
            f'<joint joint1="arm" joint2="plate" polycoef="{vector(0, 1.0 / lift.pinion_radius, 0, 0, 0)}" {hard}/>',
        )
    x, y = lift.eccentricity * math.cos(lift.start_angle), lift.eccentricity * math.sin(lift.start_angle)
    yoke = (
        f'<body pos="{vector(x, y, 0.0)}"><joint type="slide" axis="1 0 0" damping="1000"/>'
        '<geom size="0.001" mass="1"/><site name="yoke"/></body>'
    )
    return f'<site name="centre" pos="{vector(x, y, 0.0)}"/>', yoke, f'<connect site1="centre" site2="yoke" {hard}/>'


def build(bike):
    """The mechanism as a MuJoCo model: lever at the origin, shaft and plate 1 m from it."""
    shaft = 1.0
    on_lever, adjuster, path = lever_parts(bike.lever)
    on_arm, fixed, assist = arm_parts(bike.arm, shaft)
    on_plate, on_cover, springs = spring_parts(bike)
    eccentric, yoke, joined = lift_parts(bike.lift)
    xml = f"""
    <mujoco><option gravity="0 0 0" timestep="{STEP}" integrator="implicitfast"><flag contact="disable"/></option>
    <worldbody>
      {adjuster}{fixed}
      <body><joint name="lever" axis="0 0 1" armature="0.05"/><geom size="0.001" mass="0.1"/>{on_lever}</body>
      <body pos="0 {shaft} 0"><joint name="arm" axis="0 0 1" armature="0.001"/>
        <geom size="0.001" mass="0.1"/>{on_arm}{eccentric}</body>
      <body pos="0 {shaft} 0">{on_cover}</body>
      <body pos="0 {shaft} 0"><joint name="plate" type="slide" axis="0 1 0" damping="20000"/>
        <geom size="0.001" mass="20"/>{on_plate}{yoke}</body>
    </worldbody>
    <tendon>
      <spatial name="cable" stiffness="{1.0 / bike.line.compliance!r}" damping="300" springlength="0 1000">
        {path}<site site="sheath"/><site site="arm_end"/></spatial>
      {assist}{springs}
    </tendon>
    <equality>{joined}</equality>
    <actuator><position name="hand" joint="lever" kp="5000" kv="30"/></actuator></mujoco>"""
    model = mujoco.MjModel.from_xml_string(xml)
    data = mujoco.MjData(model)
    mujoco.mj_forward(model, data)
    # the cable is slack by what the lever draws in its free play
    cable = model.tendon("cable").id
    model.tendon_lengthspring[cable] = [0.0, data.ten_length[cable] + bike.lever.free_draw]
    return model, data


def turned(model, data, angle):
    """Turn the lever to an angle, wait until all rests; lever angle, drive's moment, arm angle, lift."""
    begin = data.ctrl[0]
    for share in np.linspace(0.0, 1.0, TURNING):
        data.ctrl[0] = begin + share * (angle - begin)
        mujoco.mj_step(model, data)
    mujoco.mj_step(model, data, nstep=WAITING)
    assert np.max(np.abs(data.qvel)) < 1e-5
    lever, arm, plate = (data.joint(name).qpos[0] for name in ("lever", "arm", "plate"))
    return lever, data.actuator("hand").force[0], arm, plate


@pytest.mark.parametrize("lift", ["rack", "cam"])
@pytest.mark.parametrize("seed", range(BIKES))
def test_pull_and_lift_along_the_stroke(seed, lift):
    bike = random_bike(seed, lift, friction=False)
    response = chain.respond(bike)
    model, data = build(bike)
    full = bike.lever.full_travel / bike.lever.finger_radius
    found = np.array([turned(model, data, share * full) for share in STATIONS])
    travel, pull = found[:, 0] * bike.lever.finger_radius, found[:, 1] / bike.lever.finger_radius
    assert pull == pytest.approx(np.interp(travel, response.travel, response.pull), rel=AGREEMENT)
    assert found[:, 3] == pytest.approx(np.interp(travel, response.travel, response.lift), rel=AGREEMENT)
    same_arm = chain.at_angle(bike, found[:, 2], PULL)
    assert travel == pytest.approx(same_arm.travel, rel=AGREEMENT)
    assert pull == pytest.approx(same_arm.force, rel=AGREEMENT)


def test_the_bikes_differ_in_kind():
    bikes = [random_bike(seed, "rack", friction=False) for seed in range(BIKES)]
    assert {type(bike.lever.cable_end) for bike in bikes} == {FarCable, NearCable, CamEnd}
    assert {bike.arm.assist is None for bike in bikes} == {True, False}
    assert len({len(bike.springs.springs) for bike in bikes}) > 2
