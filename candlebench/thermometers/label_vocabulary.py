"""The words that labels of thermometers are made of, in some languages, each as small letters."""

import re

from candlebench.core.place import Place

# The word for temperature, by beginnings, so that endings of any language go with it.
TEMPERATURE = re.compile(
    r"(?:temp(?:eratur\w*|érature\w*|erature\w*|eratuur\w*)?s?|tmp|t°|tc|hőmérséklet\w*|lämpötila\w*"
    r"|hitastig|температур\w*|темп|θερμοκρασ[ιί]α|sıcaklık|sicaklik|teplota|温度|氣溫|气温|온도|nhiệt)\Z",
    re.IGNORECASE,
)


def _set(words: str) -> frozenset[str]:
    return frozenset(words.split())


# What makers call their probes, by where they hang; from memory. They tell one known channel from another:
# read beside a number, some would mean something else in another language (bad, mum, su, pot).
HANGS_IN = {
    Place.MELT: _set("""
        melt wax beeswax wachs bienenwachs cire cera vosk viasz воск mum vaha vax voks jug pot
    """),
    Place.BATH: _set("""
        bath water bad wasserbad wasser bain bagno acqua baño agua lázeň voda вода su vesi vann
    """),
    Place.ROOM: _set("""
        room ambient ambiente ambiant air raum zimmer umgebung luft oda комната habitación
    """),
}

# Places and parts that are as warm as the melt may be.
PLACE = _set("""
    melt water bath kettle boiler kotol kotel kessel probe probes hot junction thermocouple couple hotend
    object
""")

# Places that are never the melt; they are read, and lose against every other channel.
SECONDARY = HANGS_IN[Place.ROOM] | _set("""
    outside outdoor indoor inside environment aussen außen innen kitchen fridge freezer garage weather
    exterior interior board bed
""")

# Words that say nothing about what the number is.
NEUTRAL = _set("""
    ok the is of for in at by now avg average mean actual current value values reading readings read
    sensor sensors device devices state sending measured channel ch result data info debug and no nr deg
    degree degrees grad main status tc sensore capteur датчик wert messwert
""")

# After one of these comes what the temperature is of.
PREPOSITIONS = _set("""
    of for in at im der des del de du на в
""")

# Any of these beside a number means that it is not the temperature of something in the pot: damp, the cold
# junction, what is wanted, limits, errors, raw values, times, electrical quantities, air, places, matter,
# the board itself.
OTHER = _set("""
    hum humid humidity humidité feuchte feuchtigkeit luftfeuchte luftfeuchtigkeit umidità humedad vlhkost
    vlaga влажность rh hygro moisture dew dewpoint heat feels like chill
    cold cj cjc cjt internal int onboard chip cpu mcu die core reference ref kaltstelle
    soll sollwert target set setpoint sp sv setp setting goal want wanted desired limit lim
    min max minimum maximum high low hi lo alarm alarms threshold thresh hyst hysteresis offset
    calibration calib cal slope gain coefficient beta delta diff difference change rate gradient trend
    error err errors uncertainty sigma std stddev deviation accuracy resolution precision tolerance
    raw adc analog analogue dac bits code codes count counter counts cnt cycle cycles loop iteration seq
    sequence sample samples n num number id uid uuid idx serial address addr rom mac ip port pin gpio
    baud bauds crc checksum version ver firmware fw sw hw rev revision build release
    date datum day month year hour hours minute minutes second seconds sec secs ms millis
    milliseconds micros timestamp stamp time zeit uhrzeit hora heure tempo czas время čas
    uptime elapsed interval period delay timeout duration remaining eta epoch unix timer
    v volt volts voltage volta spannung tension vcc vdd vbat vin vout mv uv bat batt battery akku amp
    amps ampere watt watts power leistung energy joule kwh duty pwm output out heater pid kp ki
    kd ohm ohms resistance resistor rtd ratio widerstand r0 rref conductivity pressure
    press druck pres hpa altitude alt height level depth distance length width size pos position speed
    velocity rpm fan flow acceleration accel gyro mag magnetic
    x y z roll pitch yaw angle heading course lat lon lng latitude longitude gps hdop sats
    weight mass gram grams kg load force torque light lux lum luminosity ldr brightness pot potentiometer
    led co2 eco2 co tvoc voc gas ppm ppb pm smoke aqi ph acid acidity orp tds ec salinity turbidity
    oxygen do
    rssi snr signal noise dbm freq frequency hz heap free memory mem ram stack percent pct proportional
    integral progress total sum price cost
""")
