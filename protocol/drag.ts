/** The drag of a kind of projectile over Mach, from its shots, as commands, reports and pages show it. */

/** What of a shot the drag is told from. A `Shot` is one. */
export interface DragShot {
  readonly id: string;
  readonly sessionId: string;
  readonly rigName: string;
  readonly projectile: string;
  readonly firedAt: string;
  readonly flags: readonly string[];
  readonly dragCoefficient?: TracedResult;
  readonly dragMach?: TracedResult;
  readonly dragReynolds?: TracedResult;
  readonly exclusion?: { readonly reason: string; readonly who: string };
}

export interface TracedResult {
  readonly value: number;
  readonly standardUncertainty: number;
  readonly budget: readonly {
    readonly input: string;
    readonly value: number;
    readonly standardUncertainty: number;
    readonly sensitivity: number;
  }[];
}

/** The drag in one shot, from its own gates alone. */
export interface DragPoint {
  readonly shotId: string;
  readonly mach: number;
  readonly machStandardUncertainty: number;
  readonly reynolds: number;
  readonly dragCoefficient: number;
  /** All of it, k = 1; most of it is often common to all shots. */
  readonly standardUncertainty: number;
  /** The part of it that is this shot's own, k = 1. */
  readonly ownStandardUncertainty: number;
  /**
   * How far it lies from the curve through the other shots, in units of what is then allowed; absent where those
   * support none there.
   */
  readonly score?: number;
  /** Beyond what one shot in a thousand would be: look at it. */
  readonly isOutlier: boolean;
}

export interface DragCurvePoint {
  readonly mach: number;
  readonly reynolds: number;
  readonly dragCoefficient: number;
  /** Ends of the 95 % interval of the curve itself; not of what the next shot will show. */
  readonly low: number;
  readonly high: number;
  /** Of the standard uncertainty, relative, k = 1: what all shots share, and more shots do not shrink. */
  readonly commonRelative: number;
  /** The rest. */
  readonly ownRelative: number;
}

/** A stretch of Mach numbers that no shot tells of, between those that do. */
export interface DragGap {
  readonly fromMach: number;
  readonly toMach: number;
  /** One plain sentence: why there is no band, and what would help. */
  readonly why: string;
}

export interface ReferencePoint {
  readonly mach: number;
  readonly dragCoefficient: number;
  readonly low: number;
  readonly high: number;
}

export interface DragKind {
  readonly projectile: string;
  readonly diameterM: number;
  /** In the order of Mach. */
  readonly points: readonly DragPoint[];
  /** Shots of this kind that are not in the curve, each with the reason. */
  readonly leftOut: readonly { readonly shotId: string; readonly why: string }[];
  /** Stretches of the curve, each without a gap; empty where there is none. */
  readonly curve: readonly (readonly DragCurvePoint[])[];
  readonly gaps: readonly DragGap[];
  /** Why there is no curve at all; empty where there is one. */
  readonly noCurve: string;
  /** Relative, from shot to shot beyond what the gates explain; k = 1. */
  readonly scatterRelative: number;
  /** Share of belief that the drag follows the published curve's shape, 0 to 1; absent without a curve. */
  readonly followsReference?: number;
  /** Inputs that all shots share, by their part of the curve's standard uncertainty in the middle of it, largest first. */
  readonly commonInputs: readonly { readonly input: string; readonly relative: number }[];
  /** A smooth sphere at this ball's Reynolds numbers. */
  readonly reference: { readonly source: string; readonly points: readonly ReferencePoint[] };
}

export interface DragReport {
  /** By the name of the projectile, then by diameter. */
  readonly kinds: readonly DragKind[];
  /** Shots that tell of no drag at all, each with the reason. */
  readonly without: readonly { readonly shotId: string; readonly why: string }[];
}
