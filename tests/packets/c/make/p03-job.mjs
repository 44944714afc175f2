// What every paper of p03 shares.
import { fillVin } from './tools.mjs'

export const vin = fillVin('5D9BN7E4*NK220815')
export const car = { year: 2022, make: 'Ledrun', model: 'Kestle' }
export const common = { vin, vehicle: car, plate: '972 JWL', jobNumber: 'IF-20931', claimNumber: '3300-81-CQ' }
export const tech = 'Desmond Arkley'
// As typed on the invoice: the letter O for the figure 0.
export const typedVin = vin.replace('220815', '22O815')
