/** Straight lines through a few points, in closed form: for what is asked many times a second. */

export interface LinePoint {
  readonly x: number;
  readonly y: number;
  /** k = 1, > 0. */
  readonly standardUncertainty: number;
}

export interface Line {
  readonly slope: number;
  /** As the points' uncertainties have it. */
  readonly slopeStandardUncertainty: number;
  /** Weighted middle of the points, where level and slope are not correlated. */
  readonly middleX: number;
  readonly levelAtMiddle: number;
  readonly levelStandardUncertainty: number;
  /** Of the residuals by the points' uncertainties: near 1 where these tell the whole scatter; 1 with two points. */
  readonly reducedChiSquared: number;
}

/**
 * @returns undefined for fewer than two places
 * Source: JCGM 100:2008, H.3.3, eq. (H.13), with weights
 */
export function straightLine(points: readonly LinePoint[]): Line | undefined {
  let weight = 0;
  let sumX = 0;
  let sumY = 0;
  for (const p of points) {
    const w = 1 / p.standardUncertainty ** 2;
    weight += w;
    sumX += w * p.x;
    sumY += w * p.y;
  }
  const middleX = sumX / weight;
  const level = sumY / weight;
  let sxx = 0;
  let sxy = 0;
  for (const p of points) {
    const w = 1 / p.standardUncertainty ** 2;
    sxx += w * (p.x - middleX) ** 2;
    sxy += w * (p.x - middleX) * (p.y - level);
  }
  if (!(sxx > 0)) return undefined;
  const slope = sxy / sxx;
  let squares = 0;
  for (const p of points) squares += ((p.y - level - slope * (p.x - middleX)) / p.standardUncertainty) ** 2;
  return {
    slope,
    slopeStandardUncertainty: Math.sqrt(1 / sxx),
    middleX,
    levelAtMiddle: level,
    levelStandardUncertainty: Math.sqrt(1 / weight),
    reducedChiSquared: points.length > 2 ? squares / (points.length - 2) : 1,
  };
}
