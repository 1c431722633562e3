# SPDX-License-Identifier: MIT
"""Takes close to the cone and the port of two invented boxes, one take in the free field, and what a rectangular front does to a cone; with known truth.

The box is its analogue circuit, solved as such: a motor and a moving mass on a spring, the air in the box with a loss in series, the plug of air in the port.
Pressures are Rayleigh integrals over the moving faces, summed point by point, at the microphone's own place: distance, frequency and the sound of the other
opening come out of the sum and of no formula. The front's edges are integrated along the perimeter, not over directions. Random numbers are NumPy's.
Nothing here is translated from the project, and nothing in the project is translated from here.

    python3 tests/reference/make_nearfield_takes.py tests/reference/nearfield-takes
"""
import os
import sys

import numpy as np

from take_files import write_rows, write_stimulus, write_text, write_wav

RATE = 8000
SWEEP = dict(f1=7.0, f2=2500.0, lead=0.5, sweep=2.5, tail=0.7, fade_in=0.2, fade_out=0.01)
LEVEL = 10 ** (-10 / 20)                        # peak of the sweep
LOOPBACK_GAIN = 0.5
LATENCY = 0.0123456                             # s, of the whole chain, in both channels
NOISE, LOOPBACK_NOISE = 10 ** (-85 / 20), 10 ** (-110 / 20)   # rms over full scale, white
SOUND, AIR = 343.2146, 1.2041                   # m/s, kg/m^3: air of 20 degrees Celsius

# Motor, cone, box, port: SI units. Worked out below: resonance, damping and tuning follow from them and are written into expected-boxes.csv.
DRIVER = dict(area=0.0215, mass=0.040, compliance=0.61e-3, loss=1.6, force=9.0, resistance=5.6)
BOX = dict(volume=0.042, absorption=15.0)       # m^3; quality factor of the air's loss at the tuning
PORT = dict(radius=0.035, tuning=35.0)
CONE_RADIUS = np.sqrt(DRIVER["area"] / np.pi)
GAIN = 1.1e-2                                   # samples per pascal and volt: what makes the takes a sensible size

# Front of box-1: 0.36 m by 0.48 m, cone in the middle, port on the back, so that neither microphone hears the other. Front of box-2: both, 0.25 m apart.
FRONT = (0.36, 0.48)
CONE_AT = {"box-1": (0.18, 0.24), "box-2": (0.18, 0.32)}
PORT_AT = {"box-1": None, "box-2": (0.18, 0.07)}
DISTANCE = {"cone": 0.008, "port": 0.003}       # m, from face or mouth to the microphone
FREE_DISTANCE, HALL = 1.0, dict(length=14.0, width=12.0, height=7.0, source=(6.0, 6.0, 3.0), seat=(7.0, 6.0, 3.0), floor=0.5)
TAKES = [("cone", "box-1", 301), ("port", "box-1", 302), ("cone", "box-2", 303), ("port", "box-2", 304), ("whole", "box-1", 305)]
FRONTS = [   # width, height, centre from left and from below, cone's radius, distance (0: far away)
    (0.36, 0.48, 0.18, 0.24, 0.0827, 0.0), (0.36, 0.48, 0.18, 0.24, 0.0827, 1.0), (0.20, 0.35, 0.10, 0.24, 0.05, 0.0), (0.20, 0.35, 0.07, 0.27, 0.02, 1.5),
    (0.45, 0.45, 0.225, 0.225, 0.0, 0.0), (0.60, 0.40, 0.30, 0.20, 0.12, 2.0),
]


def circuit(f):
    """Volume velocities of cone and port, in m^3/s per volt: two loop equations of the circuit, solved bin by bin."""
    s = 2j * np.pi * np.where(f == 0, 1e-6, f)
    d, tuning = DRIVER, 2 * np.pi * PORT["tuning"]
    spring = BOX["volume"] / (AIR * SOUND ** 2)
    plug = 1 / (tuning ** 2 * spring)
    air = 1 / (s * spring) + 1 / (tuning * spring * BOX["absorption"])
    cone = (s * d["mass"] + d["loss"] + d["force"] ** 2 / d["resistance"] + 1 / (s * d["compliance"])) / d["area"] ** 2
    # the box's pressure is -(cone + port) air; it pushes the cone outwards, and the plug
    drive = d["force"] / d["resistance"] / d["area"]
    matrix = np.stack([np.stack([cone + air, air], -1), np.stack([air, s * plug + air], -1)], -2)
    both = np.linalg.solve(matrix, np.stack([drive + 0 * s, 0 * s], -1)[..., None])[..., 0]
    return both[:, 0], both[:, 1]


def disc(radius, rings=24, spokes=48):
    """Points of a disc and their areas: Gauss nodes along the radius, even steps round it."""
    nodes, weights = np.polynomial.legendre.leggauss(rings)
    r, w = radius * (nodes + 1) / 2, weights * radius / 2
    angle = 2 * np.pi * (np.arange(spokes) + 0.5) / spokes
    x, y = r[:, None] * np.cos(angle), r[:, None] * np.sin(angle)
    return x.ravel(), y.ravel(), np.repeat(w * r, spokes) * 2 * np.pi / spokes


def rayleigh(f, velocity_over, radius, at):
    """Pressure of a flat piston in a wall, by j omega rho v / 2 pi times the sum of e^{-jkR} / R dS over its points; at is relative to its centre."""
    x, y, area = disc(radius)
    way = np.sqrt((x - at[0]) ** 2 + (y - at[1]) ** 2 + at[2] ** 2)
    k = 2 * np.pi * f / SOUND
    total = np.array([np.sum(np.exp(-1j * wave * way) / way * area) for wave in k])
    return 1j * k * SOUND * AIR * velocity_over / (2 * np.pi) * total


def front(f, width, height, x0, y0, radius, distance):
    """On the axis over an endless wall: 1 - 1/2 of the sound that sets off again from the edges, integrated along the perimeter (d angle = n ds / R^2)."""
    if radius > 0:
        px, py, share = disc(radius, 8, 24)
        share = share / share.sum()
    else:
        px, py, share = np.zeros(1), np.zeros(1), np.ones(1)
    nodes, weights = np.polynomial.legendre.leggauss(160)
    k = 2 * np.pi * f / SOUND
    h = np.zeros(len(f), complex)
    for x, y, part in zip(x0 + px, y0 + py, share):
        for length, fixed, along_x in ((width, 0.0, True), (width, height, True), (height, 0.0, False), (height, width, False)):
            s, ds = length * (nodes + 1) / 2, weights * length / 2
            ex, ey = (s, fixed + 0 * s) if along_x else (fixed + 0 * s, s)
            normal = abs(fixed - (y if along_x else x))
            edge = np.hypot(ex - x, ey - y)
            angle = normal * ds / edge ** 2
            if distance > 0:
                direct = np.sqrt(distance ** 2 + (x - x0) ** 2 + (y - y0) ** 2)
                bent = np.sqrt(distance ** 2 + (ex - x0) ** 2 + (ey - y0) ** 2)
                later, strength = edge + bent - direct, direct / bent
            else:
                later, strength = edge, 1.0
            h += part * (np.exp(-1j * k[:, None] * later) @ (angle * strength)) / (2 * np.pi)
    return 1 - h / 2


def near(f, what, box):
    """Pressure at one microphone, the other opening's sound included where it is on the same front."""
    cone, port = circuit(f)
    area = {"cone": np.pi * CONE_RADIUS ** 2, "port": np.pi * PORT["radius"] ** 2}
    radius = {"cone": CONE_RADIUS, "port": PORT["radius"]}
    flow = {"cone": cone, "port": port}
    other = "port" if what == "cone" else "cone"
    p = rayleigh(f, flow[what] / area[what], radius[what], (0, 0, DISTANCE[what]))
    if PORT_AT[box] is not None:
        place = {"cone": CONE_AT[box], "port": PORT_AT[box]}
        apart = np.subtract(place[what], place[other])
        p = p + rayleigh(f, flow[other] / area[other], radius[other], (*apart, DISTANCE[what]))
    return p


def far(f, metres):
    """Both volume velocities as one small source in a wall."""
    cone, port = circuit(f)
    return 1j * 2 * np.pi * f * AIR * (cone + port) / (2 * np.pi * metres) * np.exp(-2j * np.pi * f * metres / SOUND)


def whole(f, edges):
    """The box on its axis at 1 m, and its image below the floor."""
    h = HALL
    image = np.hypot(h["seat"][0] - h["source"][0], 2 * h["source"][2])
    return (far(f, FREE_DISTANCE) + h["floor"] * far(f, image)) * edges


def chirp():
    n = round(SWEEP["sweep"] * RATE)
    t = np.arange(n) / RATE
    grow = SWEEP["sweep"] / np.log(SWEEP["f2"] / SWEEP["f1"])
    x = LEVEL * np.sin(2 * np.pi * SWEEP["f1"] * grow * np.expm1(t / grow))
    for length, turned in ((round(SWEEP["fade_in"] * RATE), False), (round(SWEEP["fade_out"] * RATE), True)):
        ramp = 0.5 - 0.5 * np.cos(np.pi * np.arange(length) / length)
        if turned:
            x[n - length:] *= ramp[::-1]
        else:
            x[:length] *= ramp
    total = np.zeros(round((SWEEP["lead"] + SWEEP["sweep"] + SWEEP["tail"]) * RATE))
    first = round(SWEEP["lead"] * RATE)
    total[first:first + n] = x
    return np.round(total * 2 ** 23) / 2 ** 23


def write_survey(folder):
    h = HALL
    text = 'format = 1\ntitle = "Two boxes close up made by NumPy"\n'
    text += f'\n[room]\nlength_m = {h["length"]}\nwidth_m = {h["width"]}\nheight_m = {h["height"]}\ntemperature_c = 20.0\n'
    text += '\n[[stimulus]]\nid = "bass"\nfile = "stimuli/bass.toml"\n\n[[microphone]]\nid = "omni"\nlowest_hz = 2.0\nhighest_hz = 20000.0\ntolerance_db = 0.1\n'
    for box in ("box-1", "box-2"):
        text += f'\n[[box]]\nid = "{box}"\nwidth_m = {FRONT[0]}\nheight_m = {FRONT[1]}\ndepth_m = 0.40\n'
    for box in ("box-1", "box-2"):
        for kind in ("cone", "port"):
            size = f'area_cm2 = {1e4 * DRIVER["area"]}' if kind == "cone" else f'effective_diameter_mm = {2000 * PORT["radius"]}'
            text += f'\n[[source]]\nid = "{kind}-{box[-1]}"\nkind = "{kind}"\npart_of = "{box}"\n{size}\n'
            place = CONE_AT[box] if kind == "cone" else PORT_AT[box]
            if place is not None:
                text += f"baffle_position_m = [{place[0]}, {place[1]}]\n"
    text += f'\n[[source]]\nid = "whole-1"\nkind = "loudspeaker"\npart_of = "box-1"\nposition_m = {list(h["source"])}\n\n[[seat]]\nid = "axis"\nposition_m = {list(h["seat"])}\n'
    text += '\n[take-defaults]\nmicrophone = "omni"\nmicrophone_channel = 1\nreference_channel = 2\nstimulus = "bass"\ntime_zero = "loopback"\n'
    for what, box, _ in TAKES:
        text += f'\n[[take]]\nfile = "takes/{what}-{box[-1]}.wav"\nsources = ["{what}-{box[-1]}"]\n'
        text += f'field = "free"\nseat = "axis"\ndistance_mm = {1000 * FREE_DISTANCE}\n' if what == "whole" else f'field = "near"\ndistance_mm = {1000 * DISTANCE[what]}\n'
    write_text(os.path.join(folder, "survey.toml"), text)


def main(folder):
    for sub in ("takes", "stimuli"):
        os.makedirs(os.path.join(folder, sub), exist_ok=True)
    x = chirp()
    write_stimulus(folder, "bass", [x], RATE, SWEEP, -10.0)
    write_survey(folder)
    n = 8 * RATE
    f = np.fft.rfftfreq(n, 1 / RATE)
    sparse = np.linspace(0, RATE / 2, 801)      # the edges change slowly: every 5 Hz, then straight lines
    edges = front(sparse, *FRONT, *CONE_AT["box-1"], CONE_RADIUS, FREE_DISTANCE)
    edges = np.interp(f, sparse, edges.real) + 1j * np.interp(f, sparse, edges.imag)
    late = np.fft.rfft(x, n) * np.exp(-2j * np.pi * f * LATENCY)
    for what, box, seed in TAKES:
        p = whole(f, edges) if what == "whole" else near(f, what, box)
        random = np.random.default_rng(seed)
        heard = np.fft.irfft(GAIN * p * late, n)[:len(x)] + NOISE * random.standard_normal(len(x))
        loopback = np.fft.irfft(LOOPBACK_GAIN * late, n)[:len(x)] + LOOPBACK_NOISE * random.standard_normal(len(x))
        write_wav(os.path.join(folder, "takes", f"{what}-{box[-1]}.wav"), [heard, loopback], RATE)

    g = 1000 * 2.0 ** (np.arange(-6 * 12 - 8, 16) / 12)
    sum_at_1_m, cone, port = far(g, FREE_DISTANCE) * GAIN / LOOPBACK_GAIN, *circuit(g)
    write_rows(os.path.join(folder, "expected-far.csv"), ["frequency_hz", "half_space_level_db", "half_space_phase_deg", "port_over_cone_db", "port_over_cone_deg"],
               [[f"{hz:.6f}", f"{20 * np.log10(abs(v)):.5f}", f"{np.degrees(np.angle(v)):.4f}", f"{20 * np.log10(abs(r)):.5f}", f"{np.degrees(np.angle(r)):.4f}"] for hz, v, r in zip(g, sum_at_1_m, port / cone)])
    d = DRIVER
    resonance = 1 / (2 * np.pi * np.sqrt(d["mass"] * d["compliance"]))
    damping = 2 * np.pi * resonance * d["mass"] / (d["loss"] + d["force"] ** 2 / d["resistance"])
    ratio = d["compliance"] * d["area"] ** 2 * AIR * SOUND ** 2 / BOX["volume"]
    write_rows(os.path.join(folder, "expected-boxes.csv"), ["resonance_hz", "total_q", "compliance_ratio", "tuning_hz", "absorption_q"],
               [[f"{resonance:.6f}", f"{damping:.6f}", f"{ratio:.6f}", f'{PORT["tuning"]:g}', f'{BOX["absorption"]:g}']])
    hz = np.array([20.0, 63.0, 100.0, 160.0, 250.0, 400.0, 630.0, 1000.0, 1250.0, 1600.0])
    rows = [[*(f"{value:g}" for value in case), f"{one:g}", f"{20 * np.log10(abs(v)):.4f}", f"{np.degrees(np.angle(v)):.3f}"] for case in FRONTS for one, v in zip(hz, front(hz, *case))]
    write_rows(os.path.join(folder, "expected-fronts.csv"), ["width_m", "height_m", "from_left_m", "from_bottom_m", "radius_m", "distance_m", "frequency_hz", "level_db", "phase_deg"], rows)


if __name__ == "__main__":
    main(sys.argv[1])
