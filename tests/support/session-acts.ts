/** What a crew does in a session of the virtual range, one of each kind that needs no reading. */
import type { OperatorAct } from '../../protocol/index.ts';

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
  ];
};
