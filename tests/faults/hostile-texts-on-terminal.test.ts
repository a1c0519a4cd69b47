/** Texts from boards, rig files, notes and command lines: on the terminal, in tables and in file names they do nothing. */
import { execFileSync } from 'node:child_process';
import { chmodSync, mkdirSync, readdirSync, readFileSync, symlinkSync, writeFileSync } from 'node:fs';
import { join, resolve } from 'node:path';
import fc from 'fast-check';
import { afterEach, beforeEach, describe, expect, it, test } from 'vitest';
import { journalPath, openDataFolder } from '../../host/cli/data/data-folder.ts';
import { crewLine, watchLines } from '../../host/cli/serving/address-lines.ts';
import { endpointOf, hostNameArgument } from '../../host/cli/serving/endpoint.ts';
import { addressesOf, listeningOf } from '../../host/cli/serving/listening.ts';
import { shotCsv, shotTable } from '../../host/cli/shots/shot-lines.ts';
import { csvLine } from '../../host/cli/text/csv.ts';
import { EventLines } from '../../host/cli/text/event-lines.ts';
import { terminalJson, terminalText } from '../../host/cli/text/terminal-text.ts';
import { JournalWriter, readJournal } from '../../host/journal/index.ts';
import { newToken } from '../../host/serve/index.ts';
import { postern, scratchFolder } from '../support/command.ts';
import { openingEvents } from '../support/fake-feed.ts';
import { fakeShot } from '../support/fake-shot.ts';
import { withHostileTexts } from '../support/hostile-texts.ts';

/** Clear the screen, set its title, have it typed back, in seven and in eight bits; a line feigned; text turned round. */
const ORDERS = '\x1b[2J\x1b]0;owned\x07\x1b[5n\x9b2J\rREADY\nREADY: every hold point is done.\u202etxt.exe\u2028\b\0';
const UNSHOWABLE = /[\p{Cc}\p{Cf}\p{Zl}\p{Zp}\p{Cs}\p{Co}]/u;

let scratch: ReturnType<typeof scratchFolder>;
beforeEach(() => {
  scratch = scratchFolder();
});
afterEach(() => scratch.remove());

describe('on a terminal', () => {
  test('any text is one line of what can be seen, and seen text stays as it is', () => {
    expect(terminalText(ORDERS)).not.toMatch(UNSHOWABLE);
    expect(terminalText('Messing, 60 mm ± 0,3 µm – „Böe“')).toBe('Messing, 60 mm ± 0,3 µm – „Böe“');
    fc.assert(
      fc.property(fc.string({ unit: 'binary', maxLength: 200 }), (text) => {
        expect(terminalText(text)).not.toMatch(UNSHOWABLE);
        expect(terminalText(terminalText(text))).toBe(terminalText(text));
      }),
    );
  });

  test('JSON says the same value, and nothing that acts', () => {
    fc.assert(
      fc.property(fc.jsonValue({ stringUnit: 'binary' }), (value) => {
        const json = terminalJson(JSON.stringify(value, undefined, 2));
        expect(JSON.parse(json)).toEqual(JSON.parse(JSON.stringify(value)));
        expect(json.replaceAll('\n', '')).not.toMatch(UNSHOWABLE);
      }),
    );
  });

  test('a rig file and a journal with orders in them are shown, by the commands as they are', async () => {
    const rig = readFileSync(new URL('../../firmware-sim/heron.yaml', import.meta.url), 'utf8');
    const text = rig
      .replace(/^name: .*$/m, `name: ${JSON.stringify(`He${ORDERS}ron`)}`)
      .replace(/^gates:/m, `${JSON.stringify(ORDERS)}: 1\ngates:`);
    const file = join(scratch.path, 'rig.yaml');
    writeFileSync(file, text);
    const checked = await postern('check', file);
    expect(checked.exitCode).toBe(2);

    const journal = join(scratch.path, 'session.mcap');
    const writer = JournalWriter.create(journal, { sessionId: 'x', originUtcNs: 0n, softwareVersion: '0' }, { onProblem: () => undefined });
    writer.append({ kind: 'clock', source: 'host', atNs: 0, value: { utcUs: 1e15 } });
    const head = { sessionId: `../../${ORDERS}`, softwareVersion: ORDERS, protocolVersion: 1, fileName: ORDERS };
    writer.append({ kind: 'rig', source: 'host', atNs: 0, value: { ...head, text: rig } });
    writer.append({ kind: 'rig', source: 'host', atNs: 1, value: { ...head, text } });
    writer.append({ kind: 'operator', source: 'operator', atNs: 2, value: { act: 'note', text: ORDERS, who: ORDERS } });
    writer.append({
      kind: 'operator',
      source: 'operator',
      atNs: 3,
      value: { act: 'exclude', shotId: ORDERS, excluded: true, reason: ORDERS, who: ORDERS },
    });
    writer.append({ kind: 'link', source: ORDERS, atNs: 4, value: { change: 'lost', path: ORDERS, detail: ORDERS } });
    await writer.close();
    const replayed = await postern('replay', journal);
    expect(replayed.stdout).toContain('\\x1B[2J');
    const json = await postern('replay', journal, '--json');
    expect(JSON.parse(json.stdout)).toMatchObject({ session: `../../${ORDERS}` });
    for (const { stdout, stderr } of [checked, replayed, json]) expect(`${stdout}${stderr}`.replaceAll('\n', '')).not.toMatch(UNSHOWABLE);
    expect(replayed.stdout).not.toMatch(/^READY/m);
  });

  test('every line that an event makes goes through the one place that cleans it', () => {
    const lines = new EventLines();
    const said = openingEvents()
      .map(withHostileTexts)
      .flatMap((event) => lines.of(event));
    for (const { text } of said) expect(terminalText(text)).not.toMatch(UNSHOWABLE);
    for (const line of shotTable([{ ...fakeShot({ number: 1 }), id: ORDERS }])) expect(terminalText(line)).not.toMatch(UNSHOWABLE);
  });
});

describe('in a table for a spreadsheet', () => {
  /** By RFC 4180. */
  const cellsOf = (line: string): readonly string[] =>
    [...`,${line}`.matchAll(/,(?:"((?:[^"]|"")*)"|([^",]*))/g)].map(([, quoted, plain]) => quoted?.replaceAll('""', '"') ?? plain ?? '');

  test('no text begins a formula, and a number stays a number', () => {
    expect(csvLine([-1.2, '-1.2', '=1+1', '+1', '@SUM(A1)', '\t=1', '\r=1', '\n=1', '＝1+1', 'a,b', 'a;=b', undefined, Number.NaN])).toBe(
      `-1.2,'-1.2,'=1+1,'+1,'@SUM(A1),"'\t=1","'\r=1","'\n=1",'＝1+1,"a,b","a;=b",,`,
    );
    fc.assert(
      fc.property(
        fc.array(fc.oneof(fc.string({ unit: 'binary' }), fc.string({ unit: fc.constantFrom(...'=+-@\t\r\n",;a') })), { minLength: 1 }),
        (cells) => {
          // An apostrophe of the text's own could not be told from ours.
          fc.pre(cells.every((cell) => !cell.startsWith("'")));
          const read = cellsOf(csvLine(cells));
          expect(read.map((cell) => cell.replace(/^'(?=[=+\-@\t\r\n＝＋－＠])/, ''))).toEqual(cells);
          for (const cell of read) expect(cell).not.toMatch(/^[=+\-@\t\r\n＝＋－＠]/);
        },
      ),
    );
  });

  test('of the shots too, whoever named them', () => {
    const shot = fakeShot({ number: 1 });
    const [, line = ''] = shotCsv([
      { ...shot, id: '=1+1', rigName: '@rig', projectile: '=HYPERLINK("http://range.example")', firedAt: '+1' },
    ]);
    for (const cell of cellsOf(line)) expect(/^[=+@]|^-(?![\d.])/.test(cell)).toBe(false);
    expect(cellsOf(line)).toContain(String(shot.muzzleVelocityMps?.value));
  });
});

describe('as the name of a file', () => {
  test('no session leaves the data folder', () => {
    const folder = openDataFolder(scratch.path);
    const names = fc.oneof(
      fc.string({ unit: 'binary' }),
      fc.constantFrom(
        '..',
        '.',
        '',
        '/etc/passwd',
        '../x',
        'a/../../x',
        'x\0',
        '..\\x',
        'C:x',
        '-rf',
        '~',
        'a'.repeat(300),
        '.x',
        'x.mcap',
        '%2e%2e',
      ),
      fc.array(fc.constantFrom('..', '/', '.', 'a', '\\', '\0'), { maxLength: 8 }).map((steps) => steps.join('')),
      fc.stringMatching(/^[A-Za-z0-9_-]{1,90}$/),
    );
    fc.assert(
      fc.property(names, (name) => {
        let path: string;
        try {
          path = journalPath(folder, name);
        } catch (error) {
          expect(String(error)).toContain('A session is named by');
          return;
        }
        expect(resolve(path, '..')).toBe(folder.journals);
        expect(path).toBe(join(folder.journals, `${name}.mcap`));
      }),
    );
    expect(journalPath(folder, '20260314T093000Z-2')).toMatch(/20260314T093000Z-2\.mcap$/);
  });

  test('a link laid where a journal will be is not followed', () => {
    const folder = openDataFolder(scratch.path);
    const victim = join(scratch.path, 'victim');
    symlinkSync(victim, journalPath(folder, 'trap'));
    const head = { sessionId: 'trap', originUtcNs: 0n, softwareVersion: '0' };
    expect(() => JournalWriter.create(journalPath(folder, 'trap'), head, { onProblem: () => undefined })).toThrow(/EEXIST/);
    expect(readdirSync(scratch.path)).not.toContain('victim');
  });
});

test('a pipe under a journal’s name is no journal, and nobody waits for it', () => {
  const pipe = join(scratch.path, 'pipe.mcap');
  execFileSync('mkfifo', [pipe]);
  expect([...readJournal(pipe)].filter((item) => 'record' in item)).toEqual([]);
});

describe('where it listens', () => {
  it('loopback unless told otherwise, and anybody there may look', () => {
    const { host, doors } = listeningOf({ port: 4780 });
    expect(host).toBe('127.0.0.1');
    expect(doors.lookToken).toBeUndefined();
    expect(doors.crewToken).toMatch(/^[\w-]{43}$/);
  });

  it.each([
    { listen: endpointOf('0.0.0.0') },
    { listen: endpointOf('[::]:80') },
    { name: hostNameArgument('range-host.local', undefined) },
  ])('else two tokens, fresh each time: %j', (more) => {
    const [one, other] = [listeningOf({ port: 4780, ...more }), listeningOf({ port: 4780, ...more })];
    const all = [one, other].flatMap(({ doors }) => [doors.lookToken, doors.crewToken]);
    expect(new Set(all).size).toBe(4);
    for (const token of all) expect(token).toMatch(/^[\w-]{43}$/);
  });

  it('understands addresses, and nothing that only looks like one', () => {
    expect(endpointOf('192.168.4.2:80')).toEqual({ host: '192.168.4.2', port: 80 });
    expect(endpointOf('localhost')).toEqual({ host: '127.0.0.1' });
    expect(endpointOf('[fd00::2]:80')).toEqual({ host: 'fd00::2', port: 80 });
    for (const text of ['', 'range.example', '192.168.4', '1.2.3.4:99999', '[::1', '0x7f.1', '1.2.3.4:', ':80'])
      expect(() => endpointOf(text)).toThrow();
    for (const text of ['', 'http://a', 'a:80', 'a/b', '-a', 'a..b', 'a b', 'ä']) expect(() => hostNameArgument(text, undefined)).toThrow();
  });

  it('tells every address of this computer where it listens on all', () => {
    const listening = listeningOf({ port: 4780, listen: endpointOf('0.0.0.0'), name: ['range-host.local'] });
    const addresses = addressesOf({ url: 'http://127.0.0.1:4780/', port: 4780 }, listening);
    expect(addresses[0]).toBe('http://127.0.0.1:4780/');
    expect(addresses.at(-1)).toBe('http://range-host.local:4780/');
  });

  it('says fresh tokens on a terminal, and in no log', () => {
    const at = { url: 'http://127.0.0.1:4780/', port: 4780 };
    const said = (isLogged: boolean) => {
      const listening = listeningOf({ port: 4780, listen: endpointOf('0.0.0.0') }, isLogged);
      const lines = [...watchLines(at, listening, 'Session x'), crewLine(at, listening)].join('\n');
      return [listening.doors.lookToken ?? '', listening.doors.crewToken].map((token) => lines.includes(token));
    };
    expect(said(false)).toEqual([true, true]);
    expect(said(true)).toEqual([false, false]);
  });

  it('takes tokens from a file that nobody else may read, and never says what stands in it', () => {
    const file = join(scratch.path, 'tokens.json');
    const tokens = { look: newToken(), crew: newToken() };
    const write = (content: unknown, mode = 0o600) => {
      writeFileSync(file, typeof content === 'string' ? content : JSON.stringify(content));
      chmodSync(file, mode);
    };
    write(tokens);
    const beyond = { port: 4780, listen: endpointOf('0.0.0.0'), tokens: file };
    expect(listeningOf(beyond).doors).toMatchObject({ lookToken: tokens.look, crewToken: tokens.crew });
    const refused = (content: unknown, mode = 0o600): string => {
      write(content, mode);
      try {
        listeningOf(beyond);
      } catch (error) {
        return String(error);
      }
      return 'taken';
    };
    for (const mode of [0o640, 0o604, 0o622, 0o666]) expect(refused(tokens, mode)).toContain('chmod 600');
    const bad = [
      { crew: tokens.crew },
      { look: tokens.look, crew: tokens.look },
      { ...tokens, crew: 'short' },
      { ...tokens, more: 1 },
      `{"look": "${tokens.look}`,
    ];
    for (const content of [...bad, 'x'.repeat(5000)]) {
      const said = refused(content);
      expect(said).toMatch(/does not hold tokens|has no token to look/);
      for (const token of Object.values(tokens)) expect(said).not.toContain(token);
    }
    mkdirSync(join(scratch.path, 'folder'), { mode: 0o700 });
    expect(() => listeningOf({ ...beyond, tokens: join(scratch.path, 'folder') })).toThrow(/cannot be read/);
  });
});
