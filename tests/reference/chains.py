"""Random planar chains of thigh, shank and foot, by a general rigid-body library (MuJoCo).

The chain hangs on a hip that moves freely in the plane; the library's x and z are the plane's forward and up,
and an angle counts counter-clockwise from forward.
"""

import mujoco
import numpy as np

GRAVITY_M_S2 = 9.81


def model_of(case):
    """The library's model of a chain: two slides for the hip, then one hinge a segment."""
    bodies = ""
    for i in range(3):
        centre = case["centre_fractions"][i] * case["lengths_m"][i]
        inertia = case["inertias_kg_m2"][i]
        at = case["lengths_m"][i - 1] if i else 0.0
        slides = (
            '<joint type="slide" axis="1 0 0"/><joint type="slide" axis="0 0 1"/>' if i == 0 else ""
        )
        bodies += (
            f'<body name="s{i}" pos="{at!r} 0 0">{slides}'
            f'<joint type="hinge" axis="0 -1 0"/>'
            f'<inertial pos="{centre!r} 0 0" mass="{case["masses_kg"][i]!r}"'
            f' diaginertia="{inertia!r} {inertia!r} {inertia!r}"/>'
        )
    xml = (
        f'<mujoco><compiler angle="radian"/><option gravity="0 0 {-GRAVITY_M_S2}"/>'
        f"<worldbody>{bodies}{'</body>' * 3}</worldbody></mujoco>"
    )
    return mujoco.MjModel.from_xml_string(xml)


def relative(absolute):
    """Hinge values from absolute ones of the segments."""
    return [absolute[0], absolute[1] - absolute[0], absolute[2] - absolute[1]]


def solved(case):
    """The chain with the results of the library."""
    model = model_of(case)
    data = mujoco.MjData(model)
    data.qpos[:] = case["hip_m"] + relative(case["angles_rad"])
    data.qvel[:] = case["hip_m_s"] + relative(case["rates_rad_s"])
    data.qacc[:] = case["hip_m_s2"] + relative(case["accelerations_rad_s2"])
    acceleration = data.qacc.copy()
    mujoco.mj_fwdPosition(model, data)
    mujoco.mj_fwdVelocity(model, data)
    mujoco.mj_energyPos(model, data)
    mujoco.mj_energyVel(model, data)
    mujoco.mj_subtreeVel(model, data)
    inertia = np.zeros((model.nv, model.nv))
    for column in range(model.nv):
        unit, out = np.zeros(model.nv), np.zeros(model.nv)
        unit[column] = 1.0
        mujoco.mj_mulM(model, data, out, unit)
        inertia[:, column] = out
    data.qacc[:] = acceleration
    mujoco.mj_inverse(model, data)
    loads = data.qfrc_inverse
    plane = [0, 2]
    kinetic = float(data.energy[1])
    velocity = data.subtree_linvel[1][plane]
    return case | {
        "centres_m": data.xipos[1:][:, plane].tolist(),
        "mass_centre_m": data.subtree_com[1][plane].tolist(),
        "mass_centre_m_s": velocity.tolist(),
        "kinetic_j": kinetic,
        "internal_j": kinetic - 0.5 * sum(case["masses_kg"]) * float(velocity @ velocity),
        "potential_j": float(data.energy[0]),
        "inertia_about_hip_kg_m2": float(inertia[2, 2]),
        "hip_force_n": loads[:2].tolist(),
        "hip_knee_ankle_n_m": loads[2:].tolist(),
    }


def chains():
    """Two dozen random chains, the hip at rest in the first third of them."""
    random = np.random.default_rng(20260214)
    found = []
    for i in range(24):
        def between(low, high, count):
            return random.uniform(low, high, count).tolist()

        resting = i < 8
        found.append(
            solved(
                {
                    "lengths_m": between(0.1, 0.6, 3),
                    "masses_kg": between(0.5, 12.0, 3),
                    "centre_fractions": between(0.2, 0.8, 3),
                    "inertias_kg_m2": between(0.002, 0.3, 3),
                    "hip_m": between(-1.0, 1.0, 2),
                    "hip_m_s": [0.0, 0.0] if resting else between(-4.0, 4.0, 2),
                    "hip_m_s2": [0.0, 0.0] if resting else between(-15.0, 15.0, 2),
                    "angles_rad": between(-3.0, 3.0, 3),
                    "rates_rad_s": between(-15.0, 15.0, 3),
                    "accelerations_rad_s2": between(-200.0, 200.0, 3),
                }
            )
        )
    return found
