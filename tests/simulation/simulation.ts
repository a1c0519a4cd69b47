/**
 * World, boards, wires, ports, disk, host and pages in one process, on one virtual time, from one seed. A run is: start,
 * let go wrong what the plan says, let it be calm until all has recovered, stop in order.
 */
import { createRange, type Range } from '../../firmware-sim/range.ts';
import { BYTE_FAULTS, LINE_FAULTS, type LineFault } from '../../firmware-sim/wires/faults.ts';
import { createMemoryLine } from '../../firmware-sim/wires/memory.ts';
import { type Random, randomStream } from '../../firmware-sim/world/random.ts';
import { awaitedCount } from '../../host/pipeline/sequence.ts';
import { boardOf } from '../../host/pipeline/time.ts';
import { loadRig, type Rig } from '../../host/rig/index.ts';
import { HERON_YAML, ORIGIN_UTC_MS } from '../support/virtual-range.ts';
import { SimulatedDisk } from './disk.ts';
import { EdgeLedger } from './edge-ledger.ts';
import { type FaultKind, FaultTally } from './fault-counts.ts';
import { HostLife, type HostSurroundings } from './host-life.ts';
import { type Afflicted, act } from './mishaps.ts';
import { type FaultPlan, LINKS, type LinkName, type Mishap } from './plan-of-faults.ts';
import { portSystem, SimulatedPort } from './ports.ts';
import { SimulatedStore } from './store.ts';
import { settled, VirtualTime } from './virtual-time.ts';

const STEP_MS = 2;
/** A host that could not start is started again after so long, as its service manager would. */
const START_AGAIN_S = 0.3;
/** Within this all must have recovered once nothing goes wrong any more: silence takes 3 s to be seen, an opening 2 s more. */
const RECOVERY_S_MAX = 12;
const STOP_S_MAX = 5;
/** What a session brings in about ten seconds. */
const FORGETS_BELOW_BYTES = 256 * 1024;
const RIG_FILE = '/range/heron.yaml';
const NAMES: Readonly<Record<LineFault, FaultKind>> = {
  corrupt: 'bit flip',
  drop: 'dropped frame',
  truncate: 'cut frame',
  duplicate: 'doubled frame',
  garbage: 'noise on the line',
};

/** A quarter of the board's usual samples, 0.1 s a block: what is looked for here is not in them, and most of the work is. */
const SAMPLE_PLANS = [0, 1].map((channel) => ({ channel, periodTicks: 64_000, blockSamples: 25 }));

let rig: Rig | undefined;

export class Simulation implements Afflicted {
  readonly plan: FaultPlan;
  readonly tally = new FaultTally();
  readonly ledger = new EdgeLedger();
  readonly disk: SimulatedDisk;
  readonly store: SimulatedStore;
  readonly range: Range;
  readonly ports: ReadonlyMap<LinkName, SimulatedPort>;
  /** Every life of the host, the newest last. */
  readonly lives: HostLife[] = [];
  /** What went on for longer than it may. */
  readonly troubles: string[] = [];
  readonly random: Random;
  #tick = 0;
  /** Of the process that lives, or one that stands still. */
  #time = new VirtualTime(0);
  #isUp = false;
  #utcOffsetMs = 0;
  #startAtS = 0;
  #standsStillMs = 0;
  /** Things to be put right again, by when. */
  #endings: { readonly atS: number; readonly end: () => void }[] = [];
  #mishaps: readonly Mishap[];
  readonly #surroundings: HostSurroundings;

  constructor(plan: FaultPlan) {
    this.plan = plan;
    this.#mishaps = plan.mishaps;
    const { seed, shots, rangeFaults } = plan;
    this.random = randomStream(seed, 'simulation');
    this.range = createRange({
      seed,
      pace: 'fast',
      shots,
      faults: rangeFaults,
      setPoints: 'spread',
      edgeWatch: this.ledger,
      samplePlans: SAMPLE_PLANS,
    });
    this.disk = new SimulatedDisk(randomStream(seed, 'disk'), this.tally);
    this.disk.shortWrites = plan.shortWrites;
    this.disk.onKilled = () => this.#killedInWrite();
    this.store = new SimulatedStore(randomStream(seed, 'store'), plan.storeFailing);
    this.ports = new Map(LINKS.map((name) => [name, this.#port(name)] as const));
    rig ??= loadedRig();
    this.#surroundings = {
      disk: this.disk,
      store: this.store,
      ports: portSystem(new Map([...this.ports.values()].map((port) => [port.path, port]))),
      rigFile: RIG_FILE,
      rigText: HERON_YAML,
      rig,
      unwrittenBytesMax: plan.unwrittenBytesMax,
    };
  }

  get nowS(): number {
    return (this.#tick * STEP_MS) / 1000;
  }

  get host(): HostLife | undefined {
    const newest = this.lives.at(-1);
    return newest?.ended === undefined ? newest : undefined;
  }

  /** True where all went well again before the time for it was over. */
  async run(): Promise<boolean> {
    try {
      while (this.nowS < this.plan.calmFromS) await this.#step();
      this.#calmDown();
      const untilS = this.nowS + RECOVERY_S_MAX;
      let isWell = false;
      while (!isWell && this.nowS < untilS) {
        await this.#step();
        isWell = this.#tick % 50 === 0 && this.#isWell();
        if (this.#tick % 1500 === 0) await this.#restartWhereJournalForgot();
      }
      await this.stopHost();
      return isWell;
    } finally {
      this.#time.end();
    }
  }

  /** Something that lasts. */
  until(atS: number, end: () => void): void {
    this.#endings.push({ atS, end });
  }

  standStill(forS: number): void {
    this.#standsStillMs = Math.round(forS * 1000);
  }

  stepClock(byMs: number): void {
    this.#utcOffsetMs += byMs;
    this.#time.stepUtc(byMs);
  }

  kill(how: 'killed' | 'power cut', downS: number): void {
    const { host } = this;
    if (host === undefined) return;
    if (how === 'power cut') this.#cutPower();
    else this.disk.endLife();
    this.#bury(host, how, downS);
  }

  /** In how long a host killed in a write comes back. */
  downAfterWriteS = 0.5;

  async stopHost(downS = 0): Promise<void> {
    const { host } = this;
    if (host === undefined) return;
    let isOver = false;
    const stopping = host.stop().then(() => {
      isOver = true;
    });
    const untilS = this.nowS + STOP_S_MAX;
    // Where it is killed meanwhile, its end never comes.
    while (!isOver && host.ended === undefined && this.nowS < untilS) await this.#step();
    if (isOver) await stopping;
    if (host.ended === undefined) {
      this.troubles.push(`the host did not stop within ${STOP_S_MAX} s`);
      this.kill('killed', downS);
    }
    this.#leave(downS);
  }

  async #step(): Promise<void> {
    this.#tick += 1;
    const { nowS } = this;
    const ended = this.#endings.filter(({ atS }) => atS <= nowS);
    this.#endings = this.#endings.filter(({ atS }) => atS > nowS);
    for (const { end } of ended) end();
    if (!this.#isUp && nowS >= this.#startAtS) await this.#start();
    await this.#runHost();
    while (this.#mishaps[0] !== undefined && this.#mishaps[0].atS <= nowS && this.#isHalted === false) {
      const [mishap, ...rest] = this.#mishaps;
      this.#mishaps = rest;
      this.#isHalted = mishap.what === 'stop';
      await act(mishap, this);
      this.#isHalted = false;
    }
  }

  /** While a stop is under way nothing else begins. */
  #isHalted = false;

  async #runHost(): Promise<void> {
    const { nowS } = this;
    const arrived = [...this.ports.values()].map((port) => port.advanceTo(nowS)).some(Boolean);
    this.#noteOvertaking(arrived);
    if (!this.#isUp) return;
    if (this.#standsStillMs > 0) {
      this.#standsStillMs -= STEP_MS;
      this.#stoodMs += STEP_MS;
      return;
    }
    if (this.#stoodMs > 0) this.#time.jump(this.#stoodMs);
    this.#stoodMs = 0;
    this.#time.advance(STEP_MS);
    await settled();
    for (let rounds = 0; rounds < 4; rounds++) {
      const isDelivered = [...this.ports.values()].map((port) => port.deliver()).some(Boolean);
      if (!isDelivered) break;
      await settled();
    }
    for (const page of this.host?.pages ?? []) page.read(STEP_MS);
  }

  #stoodMs = 0;
  #overtaken = new Set<LinkName>();

  #noteOvertaking(arrived: boolean): void {
    for (const [name, port] of this.ports) {
      if (!port.holdsBytes) this.#overtaken.delete(name);
      else if (arrived && !this.#overtaken.has(name)) {
        this.#overtaken.add(name);
        this.tally.add('overtaken link');
      }
    }
  }

  async #start(): Promise<void> {
    // Whatever of the old process could still run has run; what it opened in dying is closed with it.
    await settled();
    for (const port of this.ports.values()) port.abandon();
    this.#time.end();
    this.#isUp = true;
    this.#time = new VirtualTime(ORIGIN_UTC_MS + this.#tick * STEP_MS + this.#utcOffsetMs);
    try {
      const life = new HostLife(this.#surroundings, this.nowS - STEP_MS / 1000);
      this.lives.push(life);
      if (!this.#isUp) {
        // Killed in one of its first writes.
        life.inWrite = true;
        this.#bury(life, 'killed', this.downAfterWriteS);
      }
      await settled();
    } catch (error) {
      if (!(error instanceof Error) || !('code' in error)) throw error;
      this.#leave(START_AGAIN_S);
    }
  }

  #killedInWrite(): void {
    const { host } = this;
    this.tally.add('host killed in a write');
    if (host === undefined) this.#isUp = false;
    else {
      host.inWrite = true;
      this.#bury(host, 'killed', this.downAfterWriteS);
    }
  }

  /** What earlier lives left in the system's memory is no safer than what this one did. */
  #cutPower(): void {
    this.disk.cutPower();
    for (const life of this.lives) life.lostPower = true;
  }

  #bury(host: HostLife, how: 'killed' | 'power cut', downS: number): void {
    host.die(how);
    this.store.forgetWaiting(host.sessionId);
    this.#leave(downS);
  }

  #leave(downS: number): void {
    this.#time.end();
    // What still runs of the old process shall find timers, and they shall never run.
    this.#time = new VirtualTime(0);
    this.#isUp = false;
    this.#standsStillMs = 0;
    this.#stoodMs = 0;
    this.#startAtS = this.nowS + downS;
    for (const port of this.ports.values()) port.abandon();
  }

  #calmDown(): void {
    this.#isCalm = true;
    for (const { end } of this.#endings) end();
    this.#endings = [];
    this.#mishaps = [];
    this.disk.shortWrites = 0;
  }

  #isCalm = false;

  /** The host hears everyone, has all edges, has told the last shot, and the board has let go of all that it saw. */
  #isWell(): boolean {
    const { host, ledger } = this;
    if (host === undefined) return false;
    const board = boardOf(host.state, 'gate-board');
    if (!board?.isLinked || awaitedCount(board.sequence) > 0) return false;
    return ledger.held.length === 0 && ledger.unnumbered === 0 && host.state.shots.records.every(({ isOpen }) => !isOpen);
  }

  /**
   * A journal goes on by itself after any trouble, unless it has to forget what was not yet synced; it then says that it is
   * not safe, and whoever reads that starts anew. With the host's own bound that takes an hour of trouble.
   */
  async #restartWhereJournalForgot(): Promise<void> {
    if (this.host?.problem !== undefined && this.plan.unwrittenBytesMax < FORGETS_BELOW_BYTES) await this.stopHost(0.05);
  }

  #port(name: LinkName): SimulatedPort {
    const { seed } = this.plan;
    const isGateBoard = name === 'gate-board';
    const chance = randomStream(seed, `host line/${name}`);
    const port = new SimulatedPort({
      path: `/range/wires/${name}`,
      nowS: () => this.nowS,
      line: createMemoryLine({
        seed,
        name: `line/${name}`,
        end: this.range.ends[name],
        fault: (bytes, random) => (this.#isCalm ? bytes : isGateBoard ? this.#hitFrame(bytes, random) : this.#hitText(name, bytes, random)),
      }),
      toBoard: (bytes) =>
        isGateBoard && !this.#isCalm && chance.uniform() < this.plan.hostLinesHit ? this.#hitHostLine(bytes, chance) : bytes,
    });
    port.onRefused = () => {
      if (port.isBusy) this.tally.add('port busy');
    };
    return port;
  }

  #hitFrame(bytes: Uint8Array, random: Random): Uint8Array {
    let now = bytes;
    for (const name of LINE_FAULTS) {
      if (now.length === 0 || random.uniform() >= this.plan.lineFaults[name]) continue;
      now = BYTE_FAULTS[name](now, random);
      this.tally.add(NAMES[name]);
    }
    return now;
  }

  #hitText(name: LinkName, bytes: Uint8Array, random: Random): Uint8Array {
    if (name === 'weather-board' || random.uniform() >= this.plan.textLinesLost) return bytes;
    this.tally.add('dropped frame');
    return new Uint8Array(0);
  }

  #hitHostLine(bytes: Uint8Array, random: Random): Uint8Array {
    this.tally.add('host line hit');
    return BYTE_FAULTS[random.uniform() < 0.5 ? 'corrupt' : 'drop'](bytes, random);
  }
}

function loadedRig(): Rig {
  const loaded = loadRig(HERON_YAML, 'heron.yaml');
  if (!loaded.ok) throw new Error(loaded.problems.map(({ message }) => message).join('\n'));
  return loaded.rig;
}
