/**
 * How far shots scatter about the map, and how large a remainder the launch model leaves, are not known beforehand. A
 * grid of pairs stands for what they may be; the shots say how much each pair counts.
 */
export interface Hypothesis {
  /** From shot to shot, relative to the velocity, k = 1; where it is the valve's, at the middle shot. */
  readonly scatter: number;
  /** What scatters: the velocity alike everywhere (mass, film, seat), or the valve, which matters more the harder the shot. */
  readonly source: 'velocity' | 'valve';
  /** Of the remainder, relative to the velocity, k = 1; 0: the launch model alone. */
  readonly amplitude: number;
  readonly logPrior: number;
}

/** Before any shot (our own judgement): a valve and a seat repeat to some thousandths, give or take a factor of two and a half. */
const SCATTER = { middle: 0.004, logStandardDeviation: 0.9, from: 0.0005, to: 0.06, steps: 14 };
/** Half the belief is that the launch model needs no remainder. */
const AMPLITUDES: readonly { readonly amplitude: number; readonly prior: number }[] = [
  { amplitude: 0, prior: 0.5 },
  { amplitude: 0.003, prior: 0.15 },
  { amplitude: 0.008, prior: 0.15 },
  { amplitude: 0.02, prior: 0.12 },
  { amplitude: 0.05, prior: 0.08 },
];

/** Equally likely. */
const SOURCES = ['velocity', 'valve'] as const;

export const HYPOTHESES: readonly Hypothesis[] = Array.from({ length: SCATTER.steps }, (_, i) => {
  const scatter = SCATTER.from * (SCATTER.to / SCATTER.from) ** (i / (SCATTER.steps - 1));
  const deviation = Math.log(scatter / SCATTER.middle) / SCATTER.logStandardDeviation;
  return SOURCES.flatMap((source) =>
    AMPLITUDES.map(({ amplitude, prior }) => ({ scatter, source, amplitude, logPrior: Math.log(prior) - 0.5 * deviation ** 2 })),
  );
}).flat();

/** What the scatter is taken for before any shot has been seen. */
export const SCATTER_BEFORE = SCATTER.middle;
