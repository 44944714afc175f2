/** The signature over the manifest of a sealed packet. */
import type { Check } from '../check.ts'
import { describePart, findPart, notSealed } from './seal-outcome.ts'

export const sealIntact: Check = {
  id: 'seal-intact',
  group: 'seal',
  claim: 'The signature covers the list of files as it stands.',
  messages: {
    intact: { state: 'met', text: '{because}.' },
    broken: { state: 'unmet', text: 'The seal is broken: {because}.' },
    unsettled: { state: 'undecided', text: 'Whether the seal is intact is open: {because}.' },
    'not-sealed': { state: 'undecided', text: 'The packet is not sealed.' },
  },
  parameters: {},
  remedy: 'The sealed packet again, from whoever sealed it or from another keeper of a copy.',
  suppliers: ['shop', 'insurer'],
  settledWith: 'papers',
  exposes: {
    shop: 'a record that anybody could have changed',
    calibrator: 'a record that anybody could have changed',
    insurer: 'deciding on a record that anybody could have changed',
    owner: 'a record of the repair that cannot be relied on',
  },
  collect: [
    {
      step: 'seal',
      per: 'job',
      text: 'The whole packet, sealed with a time stamp when it is complete, so that it can be shown later that nothing was changed',
    },
  ],
  run(packet) {
    const unsealed = notSealed(packet)
    const part = packet.seal === null ? null : findPart(packet.seal, 'signature')
    if (unsealed !== null || part === null)
      return unsealed ?? [{ state: 'undecided', message: 'not-sealed', data: {}, evidence: [] }]
    if (part.state === 'holds') return [describePart('met', 'intact', part)]
    return [
      part.state === 'broken' ? describePart('unmet', 'broken', part) : describePart('undecided', 'unsettled', part),
    ]
  },
}
