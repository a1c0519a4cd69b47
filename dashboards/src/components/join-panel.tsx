/** How others of the crew come to this page: an address to type and the same as a code to scan. */
import { signal } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import { connection } from '../state/connection.ts';
import { keyHeaders } from '../state/keys.ts';
import { AddressCode } from './address-code.tsx';

interface Addresses {
  readonly addresses: readonly string[];
  readonly look?: string;
}

const known = signal<Addresses | { readonly problem: string }>();

async function ask(): Promise<void> {
  try {
    const answer = await fetch('/api/addresses', { headers: keyHeaders() });
    if (!answer.ok) throw new Error(`the host answered ${answer.status}`);
    known.value = (await answer.json()) as Addresses;
  } catch (error) {
    known.value = { problem: error instanceof Error ? error.message : String(error) };
  }
}

export function JoinPanel() {
  const isConnected = connection.value === 'connected';
  useEffect(() => {
    if (isConnected) void ask();
  }, [isConnected]);
  return (
    <section class="panel" aria-labelledby="join-title">
      <h2 id="join-title">Join with another screen</h2>
      <JoinBody />
    </section>
  );
}

function JoinBody() {
  const now = known.value;
  if (!now) return <p class="empty">Asking the host…</p>;
  if ('problem' in now) return <p class="notice">The host did not say its addresses: {now.problem}.</p>;
  if (now.addresses.length === 0) {
    return (
      <p>
        This host listens to its own computer only. To let phones in, end it and start it with <code>--listen 0.0.0.0</code>; what that
        opens, and to whom, is in docs/security.md.
      </p>
    );
  }
  return (
    <>
      <p>
        In the same network, scan a code or type the address. {now.look === undefined ? '' : 'The key in it is to look, not to act. '}
        Whoever shall act opens the address with the crew's key, which the host's terminal shows.
      </p>
      <ul class="addresses">
        {now.addresses.map((address) => (
          <li key={address}>
            <AddressCode address={now.look === undefined ? address : `${address}#look=${now.look}`} name={address} />
          </li>
        ))}
      </ul>
    </>
  );
}
