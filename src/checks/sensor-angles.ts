/** Which of a record's measured values tell of the angle at which a sensor is set. */
import type { CalibrationReading, MeasuredValue } from '../facts/document.ts'

const angleWords =
  /\b(?:angle|azimuth|elevation|tilt|inclination|pitch|yaw|roll|(?:vertical|horizontal) (?:aim|angle|deviation|position|offset)|aim)\b/i
/** What the drive has learned or corrected is its result, and the steering wheel's angle is not the sensor's. */
const otherWords =
  /\b(?:learn(?:ed|t|ing)?|correct(?:ion|ed)|steering|wheel|thrust|camber|caster|toe|target|panel|board|frame|reflector|mat)\b/i
const earlierWords = /\b(?:before(?! (?:the )?(?:drive|road|run|learning))|initial|as found|previous)\b/i

export interface AngleValue {
  /** Index into the record's values. */
  index: number
  value: MeasuredValue
}

/** The values of a record that give the angle of the sensor as it was set. */
export function findAngles({ values = [] }: CalibrationReading): AngleValue[] {
  return values.flatMap((value, index) => {
    const { name } = value
    return angleWords.test(name) && !otherWords.test(name) && !earlierWords.test(name) ? [{ index, value }] : []
  })
}
