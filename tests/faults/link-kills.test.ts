/**
 * Four links of different kinds, each killed in turn many times: what the others hear is complete and in order, and
 * nothing that a killed opening used is left behind. The seed is printed with each failure.
 */
import { setFlagsFromString } from 'node:v8';
import { runInNewContext } from 'node:vm';
import { afterEach, beforeEach, expect, test } from 'vitest';
import type { PtyWire } from '../../firmware-sim/wires/pty.ts';
import { type Random, randomStream } from '../../firmware-sim/world/random.ts';
import { type DeviceKind, GateBoardLink, LINK_TIMING, SupervisedLink, TextLink } from '../../host/links/index.ts';
import { plainDevice, QUICK, WiredLinks } from '../support/wired-links.ts';

const TIMING = { ...LINK_TIMING, ...QUICK };
const NAMES = ['gates', 'known-gates', 'gauge', 'brittle'] as const;
type Name = (typeof NAMES)[number];
const KILLS = ['pulled', 'pulled and back at once', 'pulled in the middle of a line', 'thrown in the driver'] as const;
const ROUNDS_EACH = 25;
const WARM_UP_ROUNDS = 12;

let rig: WiredLinks;
beforeEach(() => {
  rig = new WiredLinks();
});
afterEach(() => rig.close());

/** Its driver throws on a line that says so, after recording it. */
function brittle(path: string): DeviceKind {
  return plainDevice('brittle', path, {
    converse: (line) => ({
      onBytes: () => line.accept('Heard.'),
      onLine: (bytes) => {
        line.record({ kind: 'line', source: 'brittle', atNs: line.arrivedAtNs, bytes });
        if (Buffer.from(bytes).toString('latin1').startsWith('break')) throw new Error('planted');
      },
    }),
  });
}

function start(name: Name): { close(): Promise<void> } {
  const setup = { name, path: rig.path(name), baudRate: 115_200 };
  if (name === 'gates') return rig.started(new GateBoardLink(setup, rig.ports, TIMING));
  if (name === 'known-gates') return rig.started(new GateBoardLink({ ...setup, boardId: 'CS-GB-01' }, rig.ports, TIMING));
  if (name === 'gauge') return rig.started(new TextLink({ ...setup, poll: { text: 'READ?', everyMs: 20 } }, rig.ports, TIMING));
  return rig.started(new SupervisedLink(brittle(rig.path(name)), rig.ports, TIMING));
}

/** What must have been heard of each, and the counting of what is still open in the process. */
class Devices {
  readonly wires = new Map<Name, PtyWire>();
  readonly sent: Record<Name, string[]> = { gates: [], 'known-gates': [], gauge: [], brittle: [] };
  readonly opened: Record<Name, number> = { gates: 0, 'known-gates': 0, gauge: 0, brittle: 0 };

  say(name: Name, text = `${name} ${this.sent[name].length}`, ending = '\n'): void {
    this.sent[name].push(text);
    this.wires.get(name)?.write(Buffer.from(text + ending));
  }

  async areHeard(names: readonly Name[]): Promise<void> {
    await rig.records.until(() => names.every((name) => rig.texts(name).length >= this.sent[name].length));
  }

  async isOpen(name: Name): Promise<void> {
    this.opened[name] += 1;
    await rig.reaches(name, 'opened', this.opened[name]);
    this.say(name);
    await rig.reaches(name, 'running', this.opened[name]);
  }

  async kill(name: Name, how: (typeof KILLS)[number], meanwhile: () => void): Promise<void> {
    const wire = this.wires.get(name);
    const lost = this.opened[name];
    if (how === 'thrown in the driver') this.say(name, `break ${lost}`);
    else {
      if (how === 'pulled in the middle of a line') {
        // Handed over once it is known that no more of it will come; the whole line behind tells that it has arrived.
        this.say(name, `whole ${lost}`, `\ntorn ${lost}`);
        await rig.hears(name, `whole ${lost}`);
        // Nothing else would tell that a line of text was cut.
        const isText = name === 'gauge' || name === 'brittle';
        this.sent[name].push(`${isText ? '\x80' : ''}torn ${lost}`);
      }
      await wire?.unplug();
      if (how === 'pulled and back at once') await wire?.replug();
    }
    meanwhile();
    await rig.reaches(name, 'lost', lost);
    meanwhile();
    await wire?.replug();
    await this.isOpen(name);
  }
}

setFlagsFromString('--expose_gc');
const collect = runInNewContext('gc') as () => void;
const timers = (): number => process.getActiveResourcesInfo().filter((kind) => kind === 'Timeout').length;
const listeners = (): number => process.eventNames().reduce((sum, name) => sum + process.listenerCount(name), 0);
const heapBytes = (): number => {
  collect();
  return process.memoryUsage().heapUsed;
};

test.each([1, 2])('seed %d: a link that dies, however often, takes nothing from the others and leaves nothing behind', async (seed) => {
  const random: Random = randomStream(seed, 'link-kills');
  const devices = new Devices();
  for (const name of NAMES) devices.wires.set(name, await rig.wire(name));
  const before = { timers: timers(), listeners: listeners(), handles: process.getActiveResourcesInfo().length };
  const links = NAMES.map(start);
  for (const name of NAMES) await devices.isOpen(name);

  const round = async (victim: Name): Promise<void> => {
    const others = NAMES.filter((name) => name !== victim);
    // No link's own lines are still on the way when its cable is pulled: that would be a loss in the cable, not here.
    await devices.areHeard([victim]);
    const how = KILLS[random.integer(victim === 'brittle' ? KILLS.length : KILLS.length - 1)] ?? 'pulled';
    await devices.kill(victim, how, () => {
      for (const name of others) for (let i = random.integer(6); i >= 0; i -= 1) devices.say(name);
    });
    await devices.areHeard(NAMES);
  };
  for (let i = 0; i < WARM_UP_ROUNDS; i += 1) await round(NAMES[i % NAMES.length] as Name);
  const warm = { timers: timers(), heapBytes: heapBytes() };
  for (let i = 0; i < ROUNDS_EACH * NAMES.length; i += 1) await round(NAMES[i % NAMES.length] as Name);

  for (const name of NAMES) expect(rig.texts(name), `seed ${seed}`).toEqual(devices.sent[name]);
  expect(timers(), `seed ${seed}: timers`).toBeLessThanOrEqual(warm.timers + 1);
  // What is kept here of the records is part of it.
  expect(heapBytes() - warm.heapBytes, `seed ${seed}: heap`).toBeLessThan(6e6);
  for (const link of links) await link.close();
  expect(timers(), `seed ${seed}: timers after the end`).toBeLessThanOrEqual(before.timers);
  expect(listeners(), `seed ${seed}: listeners of the process`).toBe(before.listeners);
  expect(process.getActiveResourcesInfo().length, `seed ${seed}: handles`).toBeLessThanOrEqual(before.handles);
});
