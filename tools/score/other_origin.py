#!/usr/bin/python3
"""A second, deliberately different engine simulator (NumPy/SciPy), to check figures on sound of another origin.

It shares no code and no parameters with tools/simulate: pulses through random resonators, a room of random decaying
noise, a phone of random tilt. Nothing should be tuned on
it; seeds 1 to 60 were watched while the speed refinement's constants were chosen and are no clean check any more.

    other_origin.py OUT_DIR --count 40 --first-seed 1      speed recordings: NNN.wav, NNN.json (true mean rpm, cylinders)
"""
import argparse
import json
import pathlib

import numpy as np
from scipy import signal
from scipy.io import wavfile

RATE = 44100


def wander(rng, seconds, rms, cutoff):
    n = int(seconds * 50) + 2
    b, a = signal.butter(2, cutoff / 25)
    w = signal.lfilter(b, a, rng.standard_normal(n + 500))[500:]
    w = w / np.std(w) * rms
    return np.interp(np.arange(int(seconds * RATE)) / RATE, np.arange(n) / 50, w)


def resonators(rng, x, count, low, high):
    out = np.zeros_like(x)
    for _ in range(count):
        f = np.exp(rng.uniform(np.log(low), np.log(high)))
        q = rng.uniform(4, 25)
        b, a = signal.iirpeak(f, q, fs=RATE)
        out += rng.uniform(0.2, 1) * signal.lfilter(b, a, x)
    return out


def pulses(rng, phase, events, jitter, spread):
    """Impulses where the cycle phase (turns / 2) passes each event (position, strength)."""
    x = np.zeros(len(phase))
    cycles = int(phase[-1]) + 1
    for position, strength in events:
        at = np.arange(cycles) + position + rng.normal(0, jitter, cycles)
        at = at[(at > 0) & (at < phase[-1])]
        index = np.searchsorted(phase, at)
        index = index[index < len(x)]
        x[index] += strength * (1 + spread * rng.standard_normal(len(index)))
    return x


def engine(rng, seconds, rpm, cylinders):
    """Returns the dry engine sound and the cycle phase."""
    speed = rpm * (1 + wander(rng, seconds, rng.uniform(0.003, 0.012), 0.8))
    phase = np.cumsum(speed / 120) / RATE
    uneven = rng.uniform(0.03, 0.5)
    fire = [(k / cylinders, 1 + uneven * rng.standard_normal()) for k in range(cylinders)]
    bang = resonators(rng, pulses(rng, phase, fire, 0.004, 0.15), 12, 60, 1500)
    clatter = resonators(rng, pulses(rng, phase, [(k / cylinders + d, rng.uniform(0.3, 1)) for k in range(cylinders)
                                                  for d in rng.uniform(0, 1, 3)], 0.002, 0.3), 10, 900, 8000)
    gate = 1 + rng.uniform(0, 0.8) * np.cos(2 * np.pi * cylinders * phase)
    roar = resonators(rng, rng.standard_normal(len(phase)) * gate, 10, 100, 6000)
    tones = np.zeros(len(phase))
    for _ in range(rng.integers(1, 5)):
        ratio = rng.uniform(0.9, 3) * rng.integers(4, 37)
        tones += rng.uniform(0.1, 1) * np.sin(2 * np.pi * (2 * phase * ratio + rng.uniform()))
    norm = lambda v: v / (np.std(v) + 1e-12)
    return (norm(bang) + rng.uniform(0.2, 0.8) * norm(clatter) + rng.uniform(0.3, 1.2) * norm(roar)
            + rng.uniform(0, 0.3) * norm(tones)), phase, float(np.mean(speed))


def heard(rng, x):
    rt = rng.uniform(0.25, 1.0)
    tail = rng.standard_normal(int(rt * RATE)) * 10 ** (-3 * np.arange(int(rt * RATE)) / RATE / rt)
    tail[0] += rng.uniform(3, 25)
    y = signal.fftconvolve(x, tail)[: len(x)]
    cut = rng.choice([20, 80, 120, 200])
    sos = signal.butter(rng.integers(1, 5), cut, "high", fs=RATE, output="sos")
    y = signal.sosfilt(sos, y)
    y = y / np.std(y)
    y = y + 10 ** (rng.uniform(-35, -12) / 20) * rng.standard_normal(len(y))
    return y / np.max(np.abs(y)) * rng.uniform(0.1, 0.9)


def main():
    p = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    p.add_argument("out", type=pathlib.Path)
    p.add_argument("--count", type=int, default=40)
    p.add_argument("--first-seed", type=int, default=1)
    p.add_argument("--seconds", type=float, default=12.0)
    args = p.parse_args()
    args.out.mkdir(parents=True, exist_ok=True)
    for seed in range(args.first_seed, args.first_seed + args.count):
        rng = np.random.default_rng(seed)
        cylinders = int(rng.choice([2, 3, 4, 4, 4, 5, 6, 8]))
        rpm = float(rng.uniform(620, 1050) if rng.uniform() < 0.75 else rng.uniform(1050, 3000))
        dry, _, mean = engine(rng, args.seconds, rpm, cylinders)
        y = heard(rng, dry)
        wavfile.write(args.out / f"{seed:03d}.wav", RATE, np.int16(32767 * y))
        (args.out / f"{seed:03d}.json").write_text(json.dumps({"rpm": mean, "cylinders": cylinders}) + "\n")


if __name__ == "__main__":
    main()
