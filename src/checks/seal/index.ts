import type { Check } from '../check.ts'
import { manifestAgrees } from './manifest-agrees.ts'
import { sealIntact } from './seal-intact.ts'
import { sealTimestamped } from './seal-timestamped.ts'
import { sealTrusted } from './seal-trusted.ts'

export const sealChecks: readonly Check[] = [manifestAgrees, sealIntact, sealTimestamped, sealTrusted]
