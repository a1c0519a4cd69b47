import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { checkRig, runCheck } from '../../host/cli/check/check.ts';
import { listPorts, type PortsFound } from '../../host/cli/check/ports.ts';

const HERON = readFileSync(new URL('../../firmware-sim/heron.yaml', import.meta.url), 'utf8');
const folder = mkdtempSync(join(tmpdir(), 'postern-check-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

async function check(file: string, ports: PortsFound = { ok: true, ports: [] }): Promise<{ code: number; lines: string[] }> {
  const lines: string[] = [];
  const code = await runCheck(
    file,
    (line) => lines.push(line),
    () => Promise.resolve(ports),
  );
  return { code, lines };
}

describe('checking a rig file', () => {
  const file = join(folder, 'heron.yaml');
  writeFileSync(file, HERON);

  it('sums a good file up', () => {
    const { exitCode, lines } = checkRig(HERON, 'heron.yaml');
    expect(exitCode).toBe(0);
    const text = lines.join('\n');
    expect(text).toContain('gate A1     pair A, 1.50000 m ± 0.00020, gate-board input 1');
    // √2 · 0.2 mm = 0.28 mm.
    expect(text).toContain('baseline B  B1 to B2 1.00000 m ± 0.00028 (0.028 %)');
    expect(text).toContain('rated 4.000 MPa gauge');
    expect(text).toContain('channel     reservoirPressure: 0.000 MPa to 6.000 MPa gauge ± 0.015 MPa, gate-board channel 0');
    expect(text).toContain('channel     barrelPressure: 0.00 kPa to 1200.00 kPa absolute ± 1.2 kPa');
    // What the crew acknowledge and tick by, those that nobody wrote among them.
    expect(text).toContain(
      'limit       maximum-fill: warning, reservoirPressure above 3.800 MPa gauge, over when back by 60 kPa, stays until',
    );
    expect(text).toContain(
      'limit       windy: warning, tailwind above 3.00 m/s, told after 2 s, over when back by 0.5 m/s, stays until acknowledged',
    );
    expect(text).toContain('limit       fill-rate: warning, reservoirPressure rising faster than 6 MPa/min, over when back by 600 kPa/min');
    expect(text).toContain('hold point  tool-out: Sighting tool out of the bore, ticked by the crew');
    expect(text).toContain('hold point  vacuum: Barrel pumped down, seen by the program (vacuum-at-target)');
  });

  it('tells whether each board is there, from the folder of the rig file', async () => {
    const path = join(folder, 'wires', 'gate-board');
    const missing = await check(file);
    expect(missing.code).toBe(0);
    expect(missing.lines).toContain(`board gate-board: ${path} at 500000 baud is missing; plug the board in, or correct its path`);
    mkdirSync(join(folder, 'wires'));
    writeFileSync(path, '');
    expect((await check(file)).lines).toContain(`board gate-board: ${path} at 500000 baud is there`);
  });

  it('lists the ports found, and says so where there are none or they cannot be listed', async () => {
    expect((await check(file)).lines.at(-1)).toBe('ports       none found on this machine');
    const found = await check(file, {
      ok: true,
      ports: [
        { path: '/dev/ttyACM0', detail: 'CS-GB-01' },
        { path: '/dev/ttyS0', detail: '' },
      ],
    });
    expect(found.lines.slice(-2)).toEqual(['port /dev/ttyACM0 (CS-GB-01)', 'port /dev/ttyS0']);
    const failed = await check(file, { ok: false, why: 'udevadm is missing' });
    expect(failed.lines.at(-1)).toBe('ports       cannot be listed on this machine: udevadm is missing');
    expect(failed.code).toBe(0);
  });

  it('lists real ports or gives a reason, and throws in no case', async () => {
    const found = await listPorts();
    if (found.ok) for (const port of found.ports) expect(port.path).toMatch(/./);
    else expect(found.why).toMatch(/./);
  });

  it('lists no ports for a bad file', async () => {
    writeFileSync(join(folder, 'bad.yaml'), HERON.replace('rig: 1', 'rig: 2'));
    const { code, lines } = await check(join(folder, 'bad.yaml'));
    expect(code).toBe(2);
    expect(lines).toHaveLength(1);
  });
});

describe('a file that cannot be read', () => {
  it('is one sentence and exit code 2', async () => {
    const nowhere = join(folder, 'nowhere.yaml');
    expect(await check(nowhere)).toEqual({ code: 2, lines: [`${nowhere} cannot be read: there is no such file; check its name`] });
    expect(await check(folder)).toEqual({ code: 2, lines: [`${folder} cannot be read: it is a folder; name the rig file in it`] });
    const binary = join(folder, 'binary.yaml');
    writeFileSync(binary, Uint8Array.of(0x72, 0xff, 0xfe, 0x00));
    expect(await check(binary)).toEqual({ code: 2, lines: [`${binary} is not UTF-8 text; is it a rig file?`] });
  });

  it('that is too large is not read to its end', async () => {
    const large = join(folder, 'large.yaml');
    // The bound falls within a character of two bytes.
    writeFileSync(large, `#${'é'.repeat(1_000_000)}`);
    const { code, lines } = await check(large);
    expect(code).toBe(2);
    expect(lines).toEqual([expect.stringMatching(/at most 262144 are read/)]);
  });
});
