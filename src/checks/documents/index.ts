import type { Check } from '../check.ts'
import { clockPlausible } from './clock-plausible.ts'
import { evidenceNotSeenBefore } from './evidence-not-seen-before.ts'
import { noActiveContent } from './no-active-content.ts'
import { originalsNotCopies } from './originals-not-copies.ts'
import { pdfNotEdited } from './pdf-not-edited.ts'
import { pdfOneProducer } from './pdf-one-producer.ts'
import { pdfSignatureHolds } from './pdf-signature-holds.ts'
import { peopleInOnePlace } from './people-in-one-place.ts'
import { photoOriginal } from './photo-original.ts'
import { photosDistinct } from './photos-distinct.ts'
import { scanNotReused } from './scan-not-reused.ts'
import { textMatchesPicture } from './text-matches-picture.ts'

/** The checks of the group `documents`, sorted by id. */
export const documentsChecks: readonly Check[] = [
  clockPlausible,
  evidenceNotSeenBefore,
  noActiveContent,
  originalsNotCopies,
  pdfNotEdited,
  pdfOneProducer,
  pdfSignatureHolds,
  peopleInOnePlace,
  photoOriginal,
  photosDistinct,
  scanNotReused,
  textMatchesPicture,
]
