/** Who has this host's pages open; for the crew alone. */
import { useEffect } from 'preact/hooks';
import type { PageClient } from '../../../protocol/index.ts';
import { token } from '../state/keys.ts';
import { clients, doors, watchClients } from '../state/set-up.ts';
import { ageText } from '../text/age-text.ts';

export function ClientsPanel() {
  const hasKey = token.value !== undefined;
  useEffect(() => (hasKey ? watchClients() : undefined), [hasKey]);
  return (
    <section class="panel clients" aria-labelledby="clients-title">
      <h2 id="clients-title">Pages open now</h2>
      {hasKey ? <Clients /> : <p>Who else has a page open is shown to whoever may act for the crew.</p>}
    </section>
  );
}

function Clients() {
  const { value, problem } = clients.value;
  const mayLook = doors.value.value?.lookNeedsToken ? 'to look' : 'none, and none is needed to look';
  return (
    <>
      {problem !== '' && <p class="notice">They could not be asked for: {problem}.</p>}
      {!value && problem === '' && <p class="empty">Asking the host…</p>}
      {value && (
        // biome-ignore lint/a11y/noNoninteractiveTabindex: a scrolling region has to be reachable by keyboard
        <section class="shot-rows" tabIndex={0} aria-label="Pages open now, longest first">
          <table>
            <thead>
              <tr>
                <th scope="col">From</th>
                <th scope="col">Open for</th>
                <th scope="col">Key that it came with</th>
              </tr>
            </thead>
            <tbody>
              {value.clients.map((client, index) => (
                <tr key={index}>
                  <td class="figures">{placeOf(client)}</td>
                  <td class="figures">{ageText(client.connectedForS)}</td>
                  <td>
                    {client.mayAct ? <b>the crew’s: may act</b> : mayLook}
                    {client.isThinned && ' · too slow for the traces'}
                  </td>
                </tr>
              ))}
            </tbody>
          </table>
        </section>
      )}
      {value && value.inAll > value.clients.length && <p>And {value.inAll - value.clients.length} more.</p>}
      <p class="detail">One whose key is not right: give the host new tokens and start it again, as below.</p>
    </>
  );
}

/** An IPv4 address may come in the form of IPv6. */
const placeOf = ({ address }: PageClient): string => {
  const plain = address.replace(/^::ffff:/, '');
  return /^(127\.|::1$)/.test(plain) ? `${plain} (this host)` : plain;
};
