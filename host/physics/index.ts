export type { FormulaClaim, MoistAir } from './air.ts';
export { blowDownProgress, blowDownRatio, energyDrawnJ } from './blow-down.ts';
export { airCompressibilityFactor, densityFormula, moistAirDensityKgM3 } from './density.ts';
export { type FallingBall, fallen } from './falling-ball.ts';
export { type Drag, type FlightSteps, flightSteps, fly, flyInSteps, type Passage } from './flight.ts';
export type { Filling } from './gas-settling.ts';
export { filledOverSettled, NO_HEAT_TO_WALL_S, settledAfter, ventedOverSettled } from './gas-settling.ts';
export { gravityDropM } from './gravity-drop.ts';
export { hoernerSphereDrag } from './hoerner-drag.ts';
export {
  adiabaticBoundMps,
  constantPressureBoundMps,
  DRIVING_GASES,
  type DrivingGas,
  drivingGas,
  escapeSpeedMps,
  fastestPossibleMps,
  type GasLaunch,
  isothermalBoundMps,
  type Launch,
  soundSpeedInGasMps,
} from './launch.ts';
export { GRAVITY_ANOMALY, GRAVITY_ANYWHERE, localGravityMps2 } from './local-gravity.ts';
export { lothSphereDrag, smoothLothDrag } from './loth-drag.ts';
export { monotoneCubic, type ValueAndSlope } from './pchip.ts';
export { speedOfSoundFormula, speedOfSoundMps } from './speed-of-sound.ts';
export { type ReferenceDrag, referenceSphereDrag } from './sphere-drag.ts';
export { dynamicViscosityPaS } from './viscosity.ts';
export { saturationVapourPressurePa, waterVapourMoleFraction } from './water-vapour.ts';
