// What every paper of p01 shares.
import { fillVin } from './tools.mjs'

export const vin = fillVin('4X9KR6D2*RB004417')
export const car = { year: 2024, make: 'Durnholt', model: 'Quill' }
export const common = { vin, vehicle: car, plate: 'RKT 2207', jobNumber: '6614' }
export const claimNumber = 'BW-77120-A'
export const shop = 'Thistledown Body & Paint'
export const radarSerial = 'DQ-RF-40917'
