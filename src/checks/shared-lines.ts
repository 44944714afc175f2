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
  text: "The instrument's own record of {subject}: its result, who did it, the instrument with serial number and software version, and the number and date of the service information followed",
}

export const filesLine: PlanLine = {
  step: 'papers',
  per: 'job',
  text: 'Every report as the file that the instrument saved, with all its pages, in text that can be read and without a password; no print or photo of it',
}

export const driveLogLine: PlanLine = {
  step: 'dynamic',
  per: 'dynamic',
  text: 'A log of the drive for {subject}, with a point every second and the VIN in its name or notes, as the receiver, the instrument or the vehicle saved it',
}
