import type { StoredAct } from '../../../protocol/index.ts';

/** What was done, in a few words. */
export function actTold(event: StoredAct['event']): string {
  switch (event.type) {
    case 'note':
      return `Note: ${event.text}`;
    case 'shot-excluded':
      return `${event.excluded ? 'Left out of every mean and fit' : 'Taken in again'}: ${event.reason}`;
    case 'shot-weighed':
      return `Mass ${grams(event.after.valueKg)} in place of ${grams(event.before.valueKg)}: ${event.reason}`;
    case 'camera-act':
      return event.marked
        ? `Track of camera ${event.camera}: ${event.marked.marks} marks, ${event.marked.frames} frames${event.clip === '' ? '' : `, clip ${event.clip}`}`
        : `Clip of camera ${event.camera}: ${event.clip}`;
    case 'track-withdrawn':
      return `Track of camera ${event.camera} ${event.withdrawn ? 'withdrawn' : 'taken in again'}: ${event.reason}`;
    case 'adjusted':
      return `${event.channel} ${event.act === 'zero' ? 'set to zero' : 'calibrated'} before the shot`;
  }
}

const grams = (kg: number): string => `${(1e3 * kg).toFixed(2)} g`;
