/** What a ball that is let go above an upright pair of gates takes from the one beam to the other, and how sure that is. */
import { combine, derive, type Estimate, input } from '../../metrology/index.ts';
import { dynamicViscosityPaS, type FallingBall, fallen, moistAirDensityKgM3, referenceSphereDrag } from '../../physics/index.ts';
import type { Gate, Rig, UncertainSi } from '../../rig/index.ts';

export interface DropSetup {
  readonly rig: Rig;
  /** Of one pair, in either order. */
  readonly gates: readonly [Gate, Gate];
  /** From the upper beam up to the underside of the ball at rest. */
  readonly heightM: UncertainSi;
  readonly gravityMps2: UncertainSi;
}

export interface ExpectedFall {
  readonly spacingM: Estimate;
  /** From centre in the upper beam to centre in the lower. */
  readonly timeS: Estimate;
  /** At the upper and at the lower beam. */
  readonly speedsMps: readonly [number, number];
  readonly ball: FallingBall;
}

/** The pair's stand is upright within a degree (rectangle): then the way down between the beams is up to 150 ppm less than along it. */
const OUT_OF_PLUMB = (1 - Math.cos(Math.PI / 180)) / Math.sqrt(3);
/** Relative, k = 1: published curves at these Reynolds numbers, and a fall from rest, which none of them is of (our own). */
const DRAG_RELATIVE = 0.15;

export function expectedFall({ rig, gates: [one, other], heightM, gravityMps2 }: DropSetup): ExpectedFall {
  const sign = Math.sign(other.positionM.value - one.positionM.value);
  const lengthM = Math.abs(other.positionM.value - one.positionM.value);
  const spacingM = combine(lengthM, [
    { of: input(`gate ${other.name} position`, 'm', other.positionM), partial: sign },
    { of: input(`gate ${one.name} position`, 'm', one.positionM), partial: -sign },
    { of: input('scale of the tape', '1', { value: 1, standardUncertainty: rig.tapeRelativeStandardUncertainty }), partial: lengthM },
  ]);
  const { temperatureK, pressurePa, relativeHumidity } = rig.assumedAir;
  const density = derive(
    (t, p, h) => moistAirDensityKgM3({ temperatureK: t, pressurePa: p, relativeHumidity: Math.min(1, Math.max(0, h)) }),
    input('air temperature', 'K', temperatureK),
    input('air pressure', 'Pa', pressurePa),
    input('air humidity', '1', relativeHumidity),
  );
  const air = { temperatureK: temperatureK.value, pressurePa: pressurePa.value, relativeHumidity: relativeHumidity.value };
  const { diameterM, massKg } = rig.projectile;
  const bottomMps = Math.sqrt(2 * gravityMps2.value * (heightM.value + lengthM));
  const reynolds = Math.max(100, (density.value * (bottomMps / 2) * diameterM.value) / dynamicViscosityPaS(air));
  const { dragCoefficient } = referenceSphereDrag({ mach: bottomMps / 2 / 340, reynolds });
  const inputs = [
    input('release height', 'm', heightM),
    spacingM,
    input('stand upright', '1', { value: 1, standardUncertainty: OUT_OF_PLUMB }),
    input('gravity', 'm/s²', gravityMps2),
    input('projectile mass', 'kg', massKg),
    input('projectile diameter', 'm', diameterM),
    density,
    input('drag of the falling ball', '1', { value: dragCoefficient, standardUncertainty: DRAG_RELATIVE * dragCoefficient }),
  ];
  const ballOf = ([, , , g, m, d, rho, c]: readonly number[]): FallingBall => ({
    gravityMps2: g as number,
    massKg: m as number,
    diameterM: d as number,
    densityKgM3: rho as number,
    dragCoefficient: c as number,
  });
  /** Of the centre above the upper beam, and above the lower one. */
  const waysM = ([h, l, upright, , , d]: readonly number[]): readonly [number, number] => {
    const upperM = (h as number) + (d as number) / 2;
    return [upperM, upperM + (l as number) * (upright as number)];
  };
  const timeS = derive(
    (...values) => {
      const [upperM, lowerM] = waysM(values);
      return fallen(lowerM, ballOf(values)).timeS - fallen(upperM, ballOf(values)).timeS;
    },
    ...inputs,
  );
  const values = inputs.map(({ value }) => value);
  const ball = ballOf(values);
  const [upperM, lowerM] = waysM(values);
  return { spacingM, timeS, speedsMps: [fallen(upperM, ball).speedMps, fallen(lowerM, ball).speedMps], ball };
}
