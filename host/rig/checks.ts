/** What must hold between the values of a rig. Comparisons are written so that NaN (fields.ts) never makes a problem. */
import { checkBoards } from './check-boards.ts';
import { checkCameras } from './check-cameras.ts';
import { checkWatches } from './check-watches.ts';
import type { Report } from './fields.ts';
import { megapascals, metres, millimetres } from './number-text.ts';
import type { Gate, Rig } from './rig.ts';

/** @param rig  gates in the file's order */
export function checkRelations(rig: Rig, report: Report): void {
  const { projectile, reservoir, barrel, assumedAir } = rig;
  checkVessel(reservoir, report);
  if (projectile.diameterM.value > barrel.boreM)
    report(
      ['projectile', 'diameter'],
      `a projectile of ${millimetres(projectile.diameterM.value)} does not fit a bore of ${millimetres(barrel.boreM)}; correct one of the two`,
    );
  if (assumedAir.relativeHumidity.value > 1) report(['assumedAir', 'humidity'], 'relative humidity lies between 0 % and 100 %; correct it');
  rig.gates.forEach((gate, i) => {
    checkPosition(gate, i, rig, report);
  });
  checkGateNames(rig.gates, report);
  checkPairs(rig.gates, report);
  checkAgreement(rig, report);
  checkCameraAgreement(rig, report);
  checkBoards(rig, report);
  checkWatches(rig, report);
  checkCameras(rig, report);
}

/** A relief valve protects the vessel where it opens at its rating at the latest, and lets it be filled where it opens above the fill. */
function checkVessel(
  { maximumFillPaGauge: fill, ratedPressurePaGauge: rated, reliefSettingPaGauge: relief }: Rig['reservoir'],
  report: Report,
): void {
  const isFillHigh = fill > rated;
  if (isFillHigh)
    report(
      ['reservoir', 'maximumFill'],
      `${megapascals(fill)} gauge is above the vessel's rated ${megapascals(rated)} gauge; lower the maximum fill`,
    );
  if (relief === undefined) return;
  const setting = `the relief valve's ${megapascals(relief)} gauge`;
  if (relief > rated)
    report(['reservoir', 'reliefSetting'], `${setting} are above the vessel's rated ${megapascals(rated)} gauge; correct one of the two`);
  else if (relief <= fill && !isFillHigh)
    report(
      ['reservoir', 'reliefSetting'],
      `${setting} are not above the maximum fill of ${megapascals(fill)} gauge; correct one of the two`,
    );
}

function checkPosition(gate: Gate, index: number, rig: Rig, report: Report): void {
  const position = gate.positionM.value;
  const targetM = rig.targetPositionM.value;
  const other = rig.gates.slice(0, index).find((before) => before.positionM.value === position);
  const tell = (message: string): void => report(['gates', index, 'position'], message);
  if (position <= 0)
    tell(`gate ${gate.name} is ${position === 0 ? 'at' : 'behind'} the muzzle; give its distance in front of the muzzle datum`);
  else if (position > targetM)
    tell(`gate ${gate.name} at ${metres(position)} is beyond the target at ${metres(targetM)}; correct one of the two`);
  else if (other !== undefined) tell(`gates ${other.name} and ${gate.name} are both at ${metres(position)}; correct one of the two`);
}

function checkAgreement({ agreement, gates }: Rig, report: Report): void {
  const known = [...new Set(gates.map(({ pair }) => pair))];
  for (const [i, pair] of (agreement?.pairs ?? []).entries()) {
    if (!known.includes(pair))
      report(['agreement', 'pairs', i], `there is no pair "${pair}" among the gates; there are ${known.join(', ')}`);
  }
}

function checkCameraAgreement({ cameraAgreement, cameras }: Rig, report: Report): void {
  const known = cameras.map(({ name }) => name);
  for (const [i, { camera }] of cameraAgreement.entries()) {
    const at = ['cameraAgreement', i, 'camera'];
    if (!known.includes(camera))
      report(at, `there is no camera "${camera}"${known.length === 0 ? '; describe it under cameras' : `; there are ${known.join(', ')}`}`);
    else if (cameraAgreement.slice(0, i).some((before) => before.camera === camera))
      report(at, `camera ${camera} is asked twice; remove one of the two`);
  }
}

function checkGateNames(gates: readonly Gate[], report: Report): void {
  for (const [i, gate] of gates.entries()) {
    if (gates.slice(0, i).some((before) => before.name === gate.name))
      report(['gates', i, 'name'], `two gates have the name ${gate.name}; give one of them another`);
  }
}

/** A third gate is told at the third; a lone one at itself. */
function checkPairs(gates: readonly Gate[], report: Report): void {
  for (const pair of new Set(gates.map((gate) => gate.pair))) {
    const indices = gates.flatMap((gate, i) => (gate.pair === pair ? [i] : []));
    const names = indices.map((i) => gates[i]?.name).join(', ');
    const at = indices[2] ?? indices[0] ?? 0;
    if (indices.length === 1) report(['gates', at, 'pair'], `pair ${pair} has one gate, ${names}; a pair is two gates`);
    if (indices.length > 2) report(['gates', at, 'pair'], `pair ${pair} has ${indices.length} gates, ${names}; a pair is two gates`);
  }
}
