"""Logs of welds with known truth. Every random number comes from a seed, so that a log is the same on every run."""
import math
import random
from dataclasses import dataclass, field


@dataclass
class Log:
    """Readings, and what is true of them."""
    time_s: list = field(default_factory=list)
    current_A: list = field(default_factory=list)
    voltage_V: list = field(default_factory=list)
    truth: dict = field(default_factory=dict)

    def csv(self, header="time_s,current_A,voltage_V", time_digits=6) -> str:
        rows = [f"{t:.{time_digits}f},{i:.1f},{u:.2f}" for t, i, u in zip(self.time_s, self.current_A, self.voltage_V)]
        return header + "\n" + "\n".join(rows) + "\n"

    def means(self) -> None:
        """Truth that any waveform has, from the readings while the arc burns."""
        burning = [k for k, i in enumerate(self.current_A) if i > 10]
        n = len(burning)
        self.truth["current"] = sum(self.current_A[k] for k in burning) / n
        self.truth["voltage"] = sum(self.voltage_V[k] for k in burning) / n
        self.truth["current_rms"] = math.sqrt(sum(self.current_A[k] ** 2 for k in burning) / n)
        self.truth["power"] = sum(self.current_A[k] * self.voltage_V[k] for k in burning) / n


def _assemble(rate_Hz, before_s, weld_s, after_s, wave, seed) -> Log:
    """`wave(t)` gives current and voltage at t from the start of the arc. Noise on both, at rest too."""
    rng = random.Random(seed)
    log = Log()
    for k in range(round((before_s + weld_s + after_s) * rate_Hz)):
        t = k / rate_Hz
        inside = before_s - 1e-9 <= t < before_s + weld_s - 1e-9
        i, u = wave(t - before_s, rng) if inside else (0.0, 65.0 if t < before_s else 0.3)
        log.time_s.append(t)
        log.current_A.append(max(0.0, i + rng.gauss(0, 1.0 if inside else 0.4)))
        log.voltage_V.append(u + rng.gauss(0, 0.15))
    log.truth["arc_time"] = weld_s
    log.means()
    return log


def spray(rate_Hz=10000, weld_s=4.0, current_A=250.0, voltage_V=28.0, seed=1) -> Log:
    def wave(t, rng):
        return current_A + 6 * math.sin(2 * math.pi * 37.3 * t) + rng.gauss(0, 4), voltage_V + rng.gauss(0, 0.4)
    log = _assemble(rate_Hz, 0.5, weld_s, 0.5, wave, seed)
    log.truth.update(transfer="open-arc", pulse="none", shorts=0, modulation="none")
    return log


class _Trapezoid:
    """One pulse after the other: phases of a pulse, each with its own length; jitter on the period."""

    def __init__(self, frequency_Hz, peak_A, base_A, peak_ms, ramp_A_per_ms, jitter, rng):
        self.frequency_Hz, self.peak_A, self.base_A = frequency_Hz, peak_A, base_A
        self.peak_s, self.ramp_s = 0.001 * peak_ms, 0.001 * (peak_A - base_A) / ramp_A_per_ms
        self.jitter, self.rng = jitter, rng
        self.start, self.period = 0.0, 1 / frequency_Hz

    def at(self, t):
        while t >= self.start + self.period:
            self.start += self.period
            self.period = (1 + self.rng.gauss(0, self.jitter)) / self.frequency_Hz
        s = t - self.start
        # The peak's length is counted between the middles of the ramps.
        up, flat = self.ramp_s, self.peak_s - self.ramp_s
        if s < up:
            share = s / up
        elif s < up + flat:
            share = 1.0
        elif s < 2 * up + flat:
            share = 1 - (s - up - flat) / up
        else:
            share = 0.0
        return self.base_A + share * (self.peak_A - self.base_A)


def pulse(rate_Hz=50000, weld_s=3.0, frequency_Hz=118.0, peak_A=420.0, base_A=60.0, peak_ms=2.2, ramp_A_per_ms=500.0,
          jitter=0.01, seed=2) -> Log:
    wave_rng = random.Random(seed + 100)
    shape = _Trapezoid(frequency_Hz, peak_A, base_A, peak_ms, ramp_A_per_ms, jitter, wave_rng)

    def wave(t, rng):
        i = shape.at(t)
        return i, 18 + 0.03 * i
    log = _assemble(rate_Hz, 0.3, weld_s, 0.3, wave, seed)
    log.truth.update(transfer="pulse", pulse="found", frequency=frequency_Hz, peak=peak_A, base=base_A,
                     peak_time=peak_ms, ramp=ramp_A_per_ms, shorts=0, modulation="none")
    return log


def double_pulse(rate_Hz=20000, weld_s=6.0, slow_Hz=2.0, low=(95.0, 380.0, 50.0), high=(160.0, 440.0, 80.0),
                 peak_ms=2.0, seed=3) -> Log:
    wave_rng = random.Random(seed + 100)
    shape = _Trapezoid(low[0], low[1], low[2], peak_ms, 500.0, 0.01, wave_rng)

    def wave(t, rng):
        phase = high if math.fmod(t * slow_Hz, 1.0) < 0.5 else low
        shape.frequency_Hz, shape.peak_A, shape.base_A = phase
        i = shape.at(t)
        return i, 18 + 0.025 * i
    log = _assemble(rate_Hz, 0.3, weld_s, 0.3, wave, seed)
    log.truth.update(transfer="double-pulse", pulse="found", shorts=0, modulation="found", modulation_frequency=slow_Hz)
    return log


def dip(rate_Hz=20000, weld_s=4.0, mean_rate_Hz=70.0, spread=0.35, short_ms=3.0, rise_A_per_ms=60.0, seed=4) -> Log:
    """Short circuits at gamma-distributed intervals of the relative spread; during each the current climbs, after it
    the current falls back."""
    plan_rng = random.Random(seed + 100)
    shorts = []
    shape = 1 / spread ** 2
    t = 0.02
    while t < weld_s - 0.02:
        length = 0.001 * max(1.0, plan_rng.gauss(short_ms, 0.25 * short_ms))
        shorts.append((t, length))
        t += max(length + 0.003, plan_rng.gammavariate(shape, 1 / (shape * mean_rate_Hz)))
    # Current at the start and the end of each short circuit: it goes on from where it has fallen back to.
    base, fall_s, ends = 110.0, 0.003, []
    for k, (start, length) in enumerate(shorts):
        before = base if k == 0 else base + (ends[-1][1] - base) * math.exp(-(start - sum(shorts[k - 1])) / fall_s)
        ends.append((before, before + 1000 * rise_A_per_ms * length))
    state = {"k": 0}

    def wave(t, rng):
        while state["k"] + 1 < len(shorts) and t >= shorts[state["k"] + 1][0]:
            state["k"] += 1
        (start, length), (low, high) = shorts[state["k"]], ends[state["k"]]
        if t < start:
            return base, 20.0
        if t < start + length:
            return low + rise_A_per_ms * 1000 * (t - start), 3.0
        return base + (high - base) * math.exp(-(t - start - length) / fall_s), 20.0
    log = _assemble(rate_Hz, 0.4, weld_s, 0.4, wave, seed)
    log.truth.update(transfer="dip", pulse="none", shorts=len(shorts),
                     duration=1000 * sum(l for _, l in shorts) / len(shorts), rise=rise_A_per_ms, modulation="none")
    return log


def slow(rate_Hz=10.0, weld_s=30.0, current_A=180.0, voltage_V=24.0, seed=5) -> Log:
    def wave(t, rng):
        return current_A + rng.gauss(0, 3), voltage_V + rng.gauss(0, 0.3)
    log = _assemble(rate_Hz, 3, weld_s, 3, wave, seed)
    log.truth.update(pulse="rate-too-low", shorts=None)
    return log
