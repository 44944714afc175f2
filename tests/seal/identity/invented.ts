/** An invented signer. */
export { formatPem as pem } from '../../../src/seal/identity/index.ts'

export const subject = {
  commonName: 'Tamsin Orrell-Žák',
  organization: 'Fernhollow Calibration',
  unit: 'Bay 3',
  country: 'IE',
  email: 'bay3@fernhollow.example',
}

export const passphrase = 'quillwort övertone gable 71'
export const now = new Date('2026-11-25T09:00:00Z')

/** Fewer rounds than are written otherwise, where a slow reader must keep up. */
export const fewRounds = 2000
