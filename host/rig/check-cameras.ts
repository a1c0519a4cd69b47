/** What must hold of cameras and their marks. NaN never makes a problem here (fields.ts). */
import type { CameraSummary } from '../../protocol/index.ts';
import type { Report } from './fields.ts';
import { metres } from './number-text.ts';
import type { Rig } from './rig.ts';
import type { Path } from './source.ts';

/** A picture is a plane: from further aside than this a mark is no more than a guess. */
const SQUARENESS_RAD_MAX = Math.PI / 6;
/** Below it the least squares would be divided by nothing. */
const MARKING_PX_MIN = 0.01;

export function checkCameras(rig: Rig, report: Report): void {
  rig.cameras.forEach((camera, i) => {
    const path: Path = ['cameras', i];
    if (rig.cameras.slice(0, i).some(({ name }) => name === camera.name))
      report([...path, 'name'], `two cameras have the name ${camera.name}; give one of them another`);
    checkTiming(rig, camera, path, report);
    if (camera.squarenessStandardUncertaintyRad > SQUARENESS_RAD_MAX)
      report([...path, 'squareness'], 'a camera that may be turned so far cannot be evaluated; set it nearer to square');
    if (camera.markingStandardUncertaintyPx < MARKING_PX_MIN)
      report([...path, 'marking'], `nobody marks a picture to better than ${2 * MARKING_PX_MIN} px; write what is true`);
    checkMarks(camera, path, report);
  });
}

function checkTiming(rig: Rig, { name, exposureS, frameRateHz, trigger }: CameraSummary, path: Path, report: Report): void {
  if (exposureS * frameRateHz.value > 1)
    report(
      [...path, 'exposure'],
      `an exposure of ${exposureS} s is longer than a frame at ${frameRateHz.value} Hz; correct one of the two`,
    );
  if (trigger && rig.trigger === undefined)
    report(
      [...path, 'trigger'],
      `camera ${name} is started by a trigger, and the rig file has none; describe trigger, or remove this`,
      'key',
    );
}

function checkMarks({ marks, standoffM, distanceM }: CameraSummary, path: Path, report: Report): void {
  marks.forEach((mark, k) => {
    const before = marks.slice(0, k);
    const at = [...path, 'marks', k];
    if (before.some(({ name }) => name === mark.name))
      report([...at, 'name'], `two marks have the name ${mark.name}; give one of them another`);
    const same = before.find(({ positionM }) => positionM.value === mark.positionM.value);
    if (same)
      report(
        [...at, 'position'],
        `marks ${same.name} and ${mark.name} are both at ${metres(mark.positionM.value)}; a scale needs them apart`,
      );
    if (mark.standoffM && distanceM.value + mark.standoffM.value <= 0)
      report([...at, 'standoff'], `mark ${mark.name} would stand behind the lens; correct standoff or distance`);
  });
  if (distanceM.value + standoffM.value <= 0)
    report([...path, 'standoff'], 'the marks would stand behind the lens; correct standoff or distance');
}
