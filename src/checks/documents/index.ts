import type { Check } from '../check.ts'
import { clockPlausible } from './clock-plausible.ts'
import { pdfSignatureHolds } from './pdf-signature-holds.ts'
import { photosDistinct } from './photos-distinct.ts'
import { scanNotReused } from './scan-not-reused.ts'
import { textMatchesPicture } from './text-matches-picture.ts'

/** The checks of the group `documents`, sorted by id. */
export const documentsChecks: readonly Check[] = [
  clockPlausible,
  pdfSignatureHolds,
  photosDistinct,
  scanNotReused,
  textMatchesPicture,
]
