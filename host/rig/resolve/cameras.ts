import type { CameraSummary } from '../../../protocol/index.ts';
import type { FieldReader } from '../fields.ts';
import type { CameraShape } from '../schema/cameras.ts';
import type { Path } from '../source.ts';

/** Cameras in SI; lengths in a picture in px. */
export const resolveCameras = (shapes: readonly CameraShape[], fields: FieldReader): readonly CameraSummary[] =>
  shapes.map((shape, i) => resolveCamera(shape, ['cameras', i], fields));

function resolveCamera(shape: CameraShape, path: Path, fields: FieldReader): CameraSummary {
  const { trigger } = shape;
  return {
    name: shape.name,
    frameRateHz: fields.uncertain([...path, 'frameRate'], shape.frameRate, 'frequency', 'positive'),
    exposureS: fields.plain([...path, 'exposure'], shape.exposure, 'time', 'positive'),
    placeM: fields.uncertain([...path, 'place'], shape.place, 'length', 'any'),
    distanceM: fields.uncertain([...path, 'distance'], shape.distance, 'length', 'positive'),
    standoffM: fields.uncertain([...path, 'standoff'], shape.standoff, 'length', 'any'),
    scaleRelativeStandardUncertainty: fields.spread([...path, 'scale'], shape.scale, 'ratio', undefined),
    squarenessStandardUncertaintyRad: fields.spread([...path, 'squareness'], shape.squareness, 'angle', undefined),
    markingStandardUncertaintyPx: fields.spread([...path, 'marking'], shape.marking, 'pictureLength', undefined),
    ...(trigger === undefined
      ? {}
      : { trigger: { frame: trigger.frame, delayS: fields.uncertain([...path, 'trigger', 'delay'], trigger.delay, 'time', 'any') } }),
    marks: shape.marks.map((mark, k) => {
      const at = [...path, 'marks', k];
      return {
        name: mark.name,
        positionM: fields.uncertain([...at, 'position'], mark.position, 'length', 'any'),
        ...(mark.standoff === undefined ? {} : { standoffM: fields.uncertain([...at, 'standoff'], mark.standoff, 'length', 'any') }),
      };
    }),
  };
}
