/** What the tokens permit, and how they are made, changed and withdrawn. No token comes from the host: a page shows only the key that it was opened with. */

import { useEffect, useState } from 'preact/hooks';
import type { DoorsState } from '../../../protocol/index.ts';
import { CALLED_AS } from '../called-as.ts';
import { connection } from '../state/connection.ts';
import { token } from '../state/keys.ts';
import { askDoors, doors } from '../state/set-up.ts';
import { AddressCode } from './address-code.tsx';

export function TokensPanel() {
  const isConnected = connection.value === 'connected';
  useEffect(() => {
    if (isConnected) void askDoors();
  }, [isConnected]);
  const { value, problem } = doors.value;
  return (
    <section class="panel tokens" aria-labelledby="tokens-title">
      <h2 id="tokens-title">Tokens</h2>
      {problem !== '' && <p class="notice">The host did not say how its doors stand: {problem}.</p>}
      <dl class="facts">
        <div>
          <dt>To look</dt>
          <dd>{value ? lookText(value) : '–'}</dd>
        </div>
        <div>
          <dt>To act</dt>
          <dd>The crew’s token: ticks, zeroes, notes, aim and impact, shots left out; and whatever the token to look permits.</dd>
        </div>
        <div>
          <dt>They are</dt>
          <dd>{value ? TOKENS_IN[value.tokensIn] : '–'}</dd>
        </div>
        <div>
          <dt>This page</dt>
          <dd>{token.value === undefined ? 'may only look.' : 'has the crew’s token, for this tab only.'}</dd>
        </div>
      </dl>
      {token.value !== undefined && <CrewCode crewToken={token.value} />}
      <h3>Make, change, withdraw</h3>
      <p>On the host’s computer, a file of tokens that only you may read, and a host that goes by it:</p>
      <code class="command">{CALLED_AS} tokens tokens.json</code>
      <code class="command">{CALLED_AS} run RIG.yaml --tokens tokens.json</code>
      <p>New ones in place of the old, which are good for nothing once the host has been started again; one of them alone, or both:</p>
      <code class="command">{CALLED_AS} tokens tokens.json --renew crew</code>
      <p>Without such a file every start makes fresh ones, and so withdraws those before. docs/security.md says what is promised.</p>
    </section>
  );
}

const lookText = ({ lookNeedsToken }: DoorsState): string =>
  lookNeedsToken ? 'a token to look, or the crew’s.' : 'none is needed: the host serves its own computer only.';

const TOKENS_IN: Readonly<Record<DoorsState['tokensIn'], string>> = {
  terminal: 'fresh ones of this start, on the host’s terminal.',
  'own-file': 'those of the file that the host was started with.',
  'host-file': 'fresh ones of this start, in host.json in the data folder, for whoever runs the host.',
};

/** For another screen of the crew's: kept out of sight until somebody wants it, as whoever sees it may act. */
function CrewCode({ crewToken }: { readonly crewToken: string }) {
  const [isShown, setShown] = useState(false);
  const address = `${location.origin}/`;
  return (
    <>
      <button type="button" aria-expanded={isShown} onClick={() => setShown(!isShown)}>
        {isShown ? 'Hide the crew’s code' : 'Show the crew’s code'}
      </button>
      {isShown && (
        <>
          <p class="problem">Whoever sees this code may act as the crew. Show it to the crew only, and hide it again.</p>
          <AddressCode address={`${address}#token=${crewToken}`} name={`${address}, to act`} />
        </>
      )}
    </>
  );
}
