/**
 * What is most likely wrong with a camera that disagrees: for each suspect, how much better the whole picture would fit,
 * the gates' speed and passage included, if that one thing were off by an amount that such mistakes have.
 *
 * A mistake of scale, standoff or frame rate changes the speed alike. They part where the ball is seen at a moment: a
 * tape that is too long moves it by its distance from the datum, a standoff by its distance from opposite the camera,
 * a frame rate by the time since the trigger. Without a trigger they cannot be told apart, and that is said.
 *
 * With residuals r after all that is known has had its say, a mistake of effect c and usual size t lowers chi-squared by
 * (c·r)²/(c·c + 1/t²) and costs ln(1 + t² c·c), c being what of it nothing else can imitate: the marginal likelihood of
 * a normal model, updated by one rank (matrix determinant lemma).
 * Source: Rasmussen & Williams, Gaussian Processes for Machine Learning (2006), 5.4.1 (from memory)
 */
import type { Suspect, Suspicion } from '../../../protocol/index.ts';
import { type GatesRow, jointRows } from './joint-rows.ts';
import type { PictureFit } from './picture-fit.ts';
import { shiftWords } from './shift-words.ts';

/** Sizes that such mistakes have, k = 1: our judgement. */
const MISTAKES = { scale: 0.01, standoffShare: 0.1, standoffOfDistance: 0.01, frameRate: 0.01, squarenessRad: 0.15, markingPx: 5 } as const;
/** Of what was fitted; see Picture. */
const TURN = 2;

interface Mistake {
  readonly suspect: Suspect;
  readonly effect: readonly number[];
  readonly size: number;
  /** What is off, where there are several of it. */
  readonly what: string;
}

/** @returns likeliest first; empty where nothing can be said */
export function suspicionsOf(found: PictureFit, gates: readonly GatesRow[]): readonly Suspicion[] {
  const rows = jointRows(found, gates);
  if (!rows) return [];
  const judge = (mistake: Mistake) => {
    const own = rows.inimitable(mistake.effect);
    const along = own.reduce((sum, value, i) => sum + value * (rows.residual[i] as number), 0);
    const length = own.reduce((sum, value) => sum + value * value, 0);
    const precision = length + 1 / mistake.size ** 2;
    return { mistake, shift: along / precision, score: along ** 2 / precision - Math.log(1 + mistake.size ** 2 * length) };
  };
  const marks = markingMistakes(found, rows.count).map(judge);
  const worst = marks.reduce((best, each) => (each.score > best.score ? each : best));
  // Any one of them may be the one: the mean of their likelihoods.
  const together =
    worst.score + 2 * Math.log(marks.reduce((sum, { score }) => sum + Math.exp((score - worst.score) / 2), 0) / marks.length);
  const all = [...setUpMistakes(found, rows.columns).map(judge), { ...worst, score: together }];
  const top = Math.max(...all.map(({ score }) => score));
  const weights = all.map(({ score }) => Math.exp((score - top) / 2));
  const total = weights.reduce((sum, weight) => sum + weight, 0);
  return all
    .map(({ mistake: { suspect, what }, shift }, i) => ({
      suspect,
      shift: shiftWords(suspect, shift, what),
      share: (weights[i] as number) / total,
    }))
    .toSorted((a, b) => b.share - a.share);
}

function setUpMistakes({ picture, nuisances, parameters }: PictureFit, columns: readonly (readonly number[])[]): readonly Mistake[] {
  const { standoffM, distanceM } = picture.camera;
  const sizes = {
    scale: MISTAKES.scale,
    standoff: Math.max(MISTAKES.standoffShare * Math.abs(standoffM.value), MISTAKES.standoffOfDistance * distanceM.value),
    'frame rate': MISTAKES.frameRate,
  };
  const own = nuisances.flatMap(({ suspect }, j): readonly Mistake[] =>
    suspect ? [{ suspect, effect: columns[parameters.length + j] as readonly number[], size: sizes[suspect], what: '' }] : [],
  );
  return [...own, { suspect: 'squareness', effect: columns[TURN] as readonly number[], size: MISTAKES.squarenessRad, what: '' }];
}

function markingMistakes({ picture, uncertaintiesPx, frames }: PictureFit, count: number): readonly Mistake[] {
  return uncertaintiesPx.map((uncertainty, row) => ({
    suspect: 'marking',
    effect: Array.from({ length: count }, (_, i) => (i === row ? 1 / uncertainty : 0)),
    size: MISTAKES.markingPx,
    what: row < picture.marks.length ? `mark ${picture.marks[row]?.name}` : `frame ${frames[row - picture.marks.length]}`,
  }));
}
