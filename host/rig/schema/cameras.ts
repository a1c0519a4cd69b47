/** Cameras beside the flight line, and the marks that they see. */
import { z } from 'zod';
import { DEFAULTS } from '../defaults.ts';
import { group, identifier, quantity, whole } from './parts.ts';

const CAMERAS_MAX = 8;
const MARKS_MAX = 16;

const mark = z.strictObject(
  {
    // A track tells marks from frame numbers by it.
    name: identifier.regex(/^[A-Za-z]/, 'must begin with a letter; write another'),
    position: quantity,
    standoff: quantity.optional(),
  },
  group,
);

const camera = z.strictObject(
  {
    name: identifier,
    frameRate: quantity,
    exposure: quantity,
    place: quantity,
    distance: quantity,
    standoff: quantity,
    scale: quantity.default(DEFAULTS.cameraScale),
    squareness: quantity.default(DEFAULTS.cameraSquareness),
    marking: quantity.default(DEFAULTS.cameraMarking),
    trigger: z.strictObject({ frame: whole(0, 1e9), delay: quantity }, group).optional(),
    marks: z
      .array(mark, 'is not a list; begin each mark with "- "')
      .min(2, 'has fewer than two marks; a scale needs two')
      .max(MARKS_MAX, `has more than ${MARKS_MAX} marks`),
  },
  group,
);

export const cameras = z
  .array(camera, 'is not a list; begin each camera with "- "')
  .max(CAMERAS_MAX, `has more than ${CAMERAS_MAX} cameras`)
  .default([]);

export type CameraShape = z.output<typeof camera>;
