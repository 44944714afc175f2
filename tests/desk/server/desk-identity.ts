/** An identity for a desk, and what it puts beside a packet that it seals. */

import { attach } from '../../../cli/seal.ts'
import { readRulebookFiles } from '../../../cli/shipped-data.ts'
import type { DeskSealing } from '../../../src/desk/index.ts'
import { createIdentity, type Identity, makeSigner } from '../../../src/index.ts'

export interface DeskIdentity {
  identity: Identity
  /** `clock`: of the desk, so that a certificate can end. */
  sealing(clock: { now: Date }): DeskSealing
}

/** Made at `now`, for thirty days. */
export async function makeDeskIdentity(now: Date): Promise<DeskIdentity> {
  const identity = await createIdentity('ecdsa-p256', { commonName: 'Records desk' }, { now, days: 30 })
  return {
    identity,
    sealing: (clock) => ({
      sealer: 'Records desk',
      signer: () => makeSigner(identity, clock.now),
      agent: 'witnessmark 0.0.0',
      tags: [],
      stamp: null,
      attach: async (report, packet) => attach(report, await readRulebookFiles(report.rulebook, {}), packet),
    }),
  }
}
