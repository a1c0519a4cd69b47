/** The conditions of hold points that the rig can see for itself: whether each holds now, and what is missing in plain words. */
import type { HoldCondition, LinkChange, SessionNs } from '../../../protocol/index.ts';
import type { Rig } from '../../rig/index.ts';
import { AIR_CHANNELS } from './facts.ts';
import { isUnfit } from './health.ts';
import type { Judgement } from './judgement.ts';
import { fillSettled, vacuumAtTarget } from './pressure-conditions.ts';
import { type Facts, own } from './state.ts';

/** @param wasDone  it held until now */
export function judge(condition: HoldCondition, rig: Rig, facts: Facts, atNs: SessionNs, wasDone: boolean): Judgement {
  switch (condition) {
    case 'fill-settled':
      return fillSettled(rig, facts, wasDone);
    case 'vacuum-at-target':
      return vacuumAtTarget(rig, facts, wasDone);
    case 'links-running':
      return linksRunning(rig, facts);
    case 'gates-clear':
      return gatesClear(rig, facts);
    case 'weather-fresh':
      return weatherFresh(rig, facts, atNs);
  }
}

const isSilent = (healths: Facts['healths'], channel: string): boolean => {
  const health = own(healths, channel);
  return health === undefined || health === 'waiting' || health === 'disconnected';
};

const LINK_WORDS: Readonly<Record<Exclude<LinkChange, 'running'>, string>> = {
  searching: 'is looked for',
  opening: 'is being opened',
  opened: 'has not been heard yet',
  silent: 'is silent',
  lost: 'is lost',
  'wrong-device': 'is the wrong device',
  closed: 'is closed',
};

function linksRunning({ boards, channels }: Rig, { links, healths }: Facts): Judgement {
  // Heard is not understood: a pattern that fits no line, or a pin that nothing is soldered to, gives no number.
  const isMute = (board: string): boolean => {
    const its = channels.filter((channel) => channel.board === board);
    return its.length > 0 && its.every(({ name }) => isSilent(healths, name));
  };
  const troubles = boards.flatMap(({ name }) => {
    const change = own(links, name) ?? 'searching';
    if (change !== 'running') return [`${name} ${LINK_WORDS[change]}`];
    return isMute(name) ? [`${name} is heard, and gives nothing that can be read`] : [];
  });
  if (troubles.length > 0) return { holds: false, detail: troubles.join(', ') };
  return { holds: true, detail: boards.length === 1 ? 'the one link is running' : `all ${boards.length} links are running` };
}

function gatesClear({ gates }: Rig, { links, inputs }: Facts): Judgement {
  const boards = [...new Set(gates.map(({ board }) => board))];
  // A board that is not heard may have had its beam blocked since.
  const unheard = boards.filter((board) => own(inputs, board) === undefined || own(links, board) !== 'running');
  if (unheard.length > 0) return { holds: false, detail: `nothing is heard of the gates on ${unheard.join(', ')}` };
  const blocked = gates.filter(({ board, input }) => ((own(inputs, board) ?? 0) & (1 << input)) !== 0).map(({ name }) => name);
  if (blocked.length === 0) return { holds: true, detail: 'all beams are clear' };
  return { holds: false, detail: `blocked: ${blocked.join(', ')}` };
}

const AIR_WORDS: Readonly<Record<string, string>> = {
  airTemperature: 'air temperature',
  airPressure: 'air pressure',
  airHumidity: 'air humidity',
};

function weatherFresh({ channels, airStaleAfterS }: Rig, { airAtNs, healths }: Facts, atNs: SessionNs): Judgement {
  const troubles = AIR_CHANNELS.filter((name) => channels.some((channel) => channel.name === name)).flatMap((name) => {
    const newestNs = own(airAtNs, name);
    if (newestNs === undefined) return [`no ${AIR_WORDS[name]} yet`];
    if (isUnfit(own(healths, name))) return [`the ${AIR_WORDS[name]} is ${own(healths, name)}`];
    return atNs - newestNs > airStaleAfterS * 1e9 ? [`the ${AIR_WORDS[name]} is older than ${airStaleAfterS} s`] : [];
  });
  return troubles.length > 0 ? { holds: false, detail: troubles.join(', ') } : { holds: true, detail: 'fresh' };
}
