/** What a crew does in a session of the virtual range, one of each kind that needs no reading. */
import type { CameraTrack, OperatorAct } from '../../protocol/index.ts';

/** As Heron's camera may see a ball: which speed it has does not matter here. */
const TRACK: CameraTrack = {
  marks: ['M1', 'M2', 'M3', 'M4'].map((name, i) => ({ name, xPx: 180 + 279 * i, yPx: 480 })),
  frames: Array.from({ length: 20 }, (_, i) => ({ frame: 620 + 3 * i, xPx: 30 + 45 * i, yPx: 420 })),
};

/** @param shotS  range time at which the first shot is closed */
export const crewActs = (sessionId: string, shotS: number): readonly { readonly atS: number; readonly act: OperatorAct }[] => {
  const shotId = `${sessionId}-001`;
  return [
    { atS: 1, act: { act: 'hold-point', holdPointId: 'tool-out', done: true, who: 'Ane' } },
    { atS: 1.2, act: { act: 'aim', at: { rightM: 0.012, upM: -0.005 }, who: 'Ane' } },
    { atS: shotS, act: { act: 'note', text: 'film “B”; changed', shotId, who: 'Bo' } },
    { atS: shotS + 0.01, act: { act: 'impact', shotId, at: { rightM: -0.002, upM: 0.004 }, who: 'Bo' } },
    { atS: shotS + 0.02, act: { act: 'exclude', shotId, excluded: true, reason: 'film torn', who: 'Bo' } },
    {
      atS: shotS + 0.025,
      act: { act: 'weigh', shotId, mass: { valueKg: 0.1254, standardUncertaintyKg: 5e-5 }, reason: 'on the balance', who: 'Bo' },
    },
    { atS: shotS + 0.03, act: { act: 'note', text: 'wind has gone' } },
    { atS: shotS + 0.04, act: { act: 'acknowledge', limitId: 'no-such', who: 'Bo' } },
    { atS: shotS + 0.05, act: { act: 'clip', shotId, camera: 'side', clip: 'side-001.avi', who: 'Bo' } },
    { atS: shotS + 0.06, act: { act: 'camera-track', shotId, camera: 'side', clip: '', track: TRACK, who: 'Bo' } },
    { atS: shotS + 0.07, act: { act: 'withdraw-track', shotId, camera: 'side', withdrawn: true, reason: 'other ball', who: 'Bo' } },
    { atS: shotS + 0.08, act: { act: 'withdraw-track', shotId, camera: 'side', withdrawn: false, reason: 'it was ours', who: 'Ane' } },
  ];
};
