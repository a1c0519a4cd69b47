import type { OperatorAct } from '../../../protocol/index.ts';
import { massText } from '../text/crew-lines.ts';

/** What was done, in a few words. */
export function actWords(act: OperatorAct): string {
  switch (act.act) {
    case 'note':
      return `note: ${act.text}`;
    case 'exclude':
      return `${act.excluded ? 'left out of every mean and fit' : 'taken in again'}: ${act.reason}`;
    case 'weigh':
      return `mass ${act.mass ? massText(act.mass) : 'of the rig file again'}: ${act.reason}`;
    case 'impact':
      return `impact ${millimetres(act.at.rightM)} right, ${millimetres(act.at.upM)} up`;
    case 'aim':
      return `aim ${millimetres(act.at.rightM)} right, ${millimetres(act.at.upM)} up`;
    case 'zero':
    case 'calibrate':
      return `${act.channel} ${act.act === 'zero' ? 'set to zero' : 'calibrated'}: gain ${act.after.gain.toFixed(5)}, offset ${act.after.offsetSi.toPrecision(5)} (before ${act.before.gain.toFixed(5)}, ${act.before.offsetSi.toPrecision(5)})`;
    case 'acknowledge':
      return `alarm of ${act.limitId} seen`;
    case 'clip':
      return `clip of camera ${act.camera}: ${act.clip}`;
    case 'camera-track':
      return trackWords(act.camera, { marks: act.track.marks.length, frames: act.track.frames.length }, act.clip);
    case 'withdraw-track':
      return `track of camera ${act.camera} ${act.withdrawn ? 'withdrawn' : 'taken in again'}: ${act.reason}`;
    case 'hold-point':
      return `hold point ${act.holdPointId} ${act.done ? 'ticked' : 'not ticked any more'}`;
  }
}

export const trackWords = (camera: string, { marks, frames }: { readonly marks: number; readonly frames: number }, clip: string): string =>
  `track of camera ${camera}: ${marks} marks, ${frames} frames${clip === '' ? '' : `, clip ${clip}`}`;

export const whoOf = (act: OperatorAct): string => act.who ?? 'somebody who did not say';

const millimetres = (m: number): string => `${(1000 * m).toFixed(1).replace('-', '\u2212')} mm`;
