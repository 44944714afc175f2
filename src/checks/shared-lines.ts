/** What several checks ask for: one thing to save, in one wording, so that a plan asks for it once. */
import type { PlanLine } from './check.ts'

export const preScanLine: PlanLine = {
  step: 'pre-scan',
  per: 'job',
  text: 'A scan of the whole vehicle before any work and before codes are cleared, saved from the instrument',
}

export const postScanLine: PlanLine = {
  step: 'post-scan',
  per: 'job',
  text: 'A scan of the whole vehicle after the last calibration, with every module of the pre-scan, saved from the instrument',
}

export const recordLine: PlanLine = {
  step: 'papers',
  per: 'calibration',
  text: "The instrument's own record of {subject}, saved as a file in full, with how it ended",
}
