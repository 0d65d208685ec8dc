"""The sources of the rows: author, year, title, strength, and how much of each was read."""

from tests.sizing.outside.check import Source, Strength

_A, _B, _C, _D = Strength.A, Strength.B, Strength.C, Strength.D
FULL, PART = "read in full", "abstract or excerpt"
SECOND = "another's reprint"

AGREEMENT = Source(
    "International yard and pound agreement, 1959: 1 in = 25.4 mm, 1 lb = 0.45359237 kg, exactly",
    _A,
    "another's reprint, and pint's definitions",
)
NIST = Source("NIST Handbook 44, 5.52: inches in halves, quarters, eighths …", _A, SECOND)
ISO_1144 = Source("ISO 1144:2016, Tex System: tex is grams in a kilometre", _A, PART)
ISO_20932 = Source(
    "ISO 20932-1:2018, method B, and ASTM D2594: (stretched - relaxed) / relaxed", _A, PART
)
CFR_525 = Source("29 CFR 525.12(h)(2)(ii), piece rates", _A, PART)
PATTERNS = Source("Published patterns that print both units (weak)", _D, PART)

CYC = Source("Craft Yarn Council, Standard Yarn Weight System, table 0 to 7 (2018)", _B, SECOND)
WRAPS = Source(
    "An encyclopedia's table of yarn weights: wraps per inch, metres in 100 g", _B, PART
)
WRAPS_OTHER = Source("A podcast's own list of wraps per inch by class", _C, PART)
PAIRS = Source(
    "Seven published pairs of stitch and row gauge in plain sc (tutorials, a handbook, patterns)",
    _C,
    PART,
)
HOBBYIST = Source("One hobbyist's unravelled samples: worsted, 5 mm hook, 5 in (n = 1)", _C, PART)
SELLER = Source("A seller's figure: 2.75 in of yarn an sc, bulky, 6.5 mm hook", _D, PART)
SEAM = Source("A blog on joining, 2011: a tail of three times the length", _C, PART)
TAILS = Source("A tutorial on ends: leave 4 to 6 in", _C, PART)
HANDS = Source("A blog on yarn for a blanket: tension changes the yarn by 10 to 20 %", _C, PART)
WEIGHING = Source("Tutorials: a swatch weighed, by its area or by its stitches", _C, PART)
PEIRCE = Source(
    "Peirce, The Geometry of Plain and Rib Knit Cotton Fabrics, Text Res J: l = 2p + w + 5.94 d;"
    " Munden: the loop alone, whatever the yarn",
    _A,
    PART,
)
SWATCHING = Source("Tutorials: a swatch of 12 to 20 cm, measured in its middle", _C, PART)

PRACTICE = Source("Makers of such hoods", Strength.PRACTICE)
HAT = Source("A tutorial on hats: 1 to 2 in smaller than a head of 22 in", _C, PART)
SOCK = Source("Tutorials and a knitters' group: a sock 10 to 15 % smaller than the foot", _C, PART)
SCARF = Source("A report on Phys Rev X 8, 021075 (2018): a knitted scarf goes to twice", _B, PART)
YELINA = Source("Yelina, Halavska, Bobrova et al.: ribs stretched by 50 to 300 %", _A, PART)
CHAIN_11 = Source("A tutorial on back-loop ribbing, 2018: chain 11 for 10 sc", _C, PART)
TURNING = Source("A table of turning chains: sl st 0, sc 1, hdc 2, dc 3", _C, PART)
SC2TOG = Source("A crochet glossary: sc2tog, 3 loops on the hook, 1 stitch fewer", _C, PART)
TUBE = Source("A published pattern: one sl st in each stitch of first and last row", _C, PART)
WHIP = Source("A tutorial on seams: both loops of corresponding stitches", _C, PART)
UK = Source("Tables of US and UK crochet terms (seven pages agree)", _C, PART)
CIRCLES = Source("Tables of flat circles in sc: begin with 6, gain 6 a round", Strength.PRACTICE)

PACE = Source("A guild member's report on a contest, 2005: dc in 3 minutes", _C, PART)
RECORD = Source("Newspaper reports: 147 stitches a minute, the record of 1981 to 2005", _C, PART)
STEWART = Source(
    "R. Stewart, Cost Estimator's Reference Manual, 2nd ed., as NASA gives it", _A, PART
)
WRIGHT = Source("Wright 1936: T_n = T_1 n^(log2 r)", _A, SECOND)
HANDBOOK = Source("A handbook's chapter on work measurement: NT (1 + A), NT / (1 - A)", _B, PART)
ILO = Source(
    "A table after the ILO's: personal 5 %, fatigue 4 %, contingency up to 5 % of the work",
    _B,
    SECOND,
)
KEYSTONE = Source("A tutorial on prices: (labour + materials) x 2, and x 2 again", _C, PART)
MARKUP = Source("A tutorial on costs: 100 and 40 % markup are 140, a margin of 28.57 %", _C, PART)
MARGIN = Source("A shop program's help: price = cost / (1 - margin)", _C, PART)
FEE = Source("A forum's problem: net 2, fixed 1.50, fee 6.5 %", _D, PART)
ISO_4217 = Source("ISO 4217: minor units", _A, "not itself seen; CLDR below")

TEPELI = Source(
    "Tepeli and Çetin 2003, A study on head measurements of Kangal and Akbas, Eurasian J Vet Sci"
    " 19(1-2):17-20",
    _A,
    PART,
)
ELMAZ = Source("Elmaz, Aksoy and Dikmen 2012, Bulg J Agric Sci 18(6):980-986", _A, PART)
KANGAL_GROWTH = Source(
    "Elmaz et al. 2012 (pups) and Tepeli and Çetin 2003 (yearlings): two Kangal samples", _A, PART
)
CASINOS = Source("Casinos et al. 1986, J Morphol 190: 108 dogs, geometric similarity", _A, PART)
OZBEYAZ = Source("Özbeyaz 1994, Livestock Studies 34(1-2):38-46", _A, PART)
YILMAZ = Source("Yilmaz and Ertugrul, Can J Pure Appl Sci: 39 Kangals in Europe", _A, PART)
TAZI = Source("Yilmaz and Ertugrul: 122 Turkish Tazis", _A, PART)
UROSEVIC = Source(
    "Urosevic et al. 2020, Turk J Agric Food Sci Technol 8(7): 96 Akbash, sd by mean", _A, PART
)
FCI_263 = Source("FCI-Standard 263, 12.03.1999, approximate measurements", _A, FULL)
FCI_249 = Source("FCI-Standard 249, 13.06.1997: one dog of 56 cm and 36 kg", _A, FULL)
FCI_298 = Source("FCI-Standard 298, 11.10.2019: neck up to twice its length", _A, FULL)
FCI_NECKS = Source("FCI-Standards 157, 263, 264: neck by skull", _A, FULL)
FCI_MUZZLES = Source(
    "FCI-Standards 116, 263, 264; Tepeli and Çetin 2003: muzzle by skull", _A, FULL
)
FCI_HEADS = Source(
    "FCI standards and measured means: head length by W^(1/3)",
    _A,
    "standards in full, papers in part",
)
DOGUE = Source("FCI-Standard 116 (skull = height) on show averages of 1895 in a forum", _D, FULL)
LEIGHTON = Source("R. Leighton 1910, Dogs and All About Them", _B, FULL)
GIANT = Source(
    "A note on a large dog shown in London, 19th century (n = 1, under a year)", _C, PART
)
GREYHOUND = Source("Stonehenge on the greyhound Master M'Grath, 54 lb", Strength.MEMORY)
PUGS = Source("J Vet Intern Med 2016;30:853-865, table 2", _A, PART)
TENG = Source("Teng et al. 2016, Canine Genet Epidemiol 3:2 (other kennel bodies)", _A, PART)
BASCUNAN = Source("Bascuñán et al. 2016, Veterinary Evidence 1(2): 552 girths of thighs", _A, PART)
HALL = Source("Hall, Carter and O'Neill 2020, Sci Rep 10:9128: breeds with heat illness", _A, PART)
TRIGGERS = Source(
    "Hall, Carter and O'Neill 2020, Animals 10(8):1324: 1,259 cases: exertion 74.2 %, weather"
    " 12.9 %, vehicles 5.2 %",
    _A,
    PART,
)
HALL_50 = Source("Hall, Carter and O'Neill 2020, Sci Rep 10:9128: dogs over 50 kg", _A, PART)
EARS = Source(
    "O'Neill et al. 2021, Canine Med Genet 8:7; doi 10.1186/s13028-017-0282-3; PMC8578590",
    _A,
    PART,
)
SHORT_NOSES = Source(
    "Liu et al. 2017 and Tomlinson et al. 2024, PLoS ONE: airway trouble", _A, PART
)
BAILEY = Source(
    "Bailey, Packer and Wills 2025, Vet Med Sci 11(3): a collar alone raises eye pressure",
    _A,
    PART,
)

PINT = Source("pint's own units", Strength.LIBRARY)
SHAPELY = Source("shapely: polygons, lines, circles", Strength.LIBRARY)
NUMPY = Source("numpy: linear algebra and statistics", Strength.LIBRARY)
DRAWS = Source("numpy: 100,000 draws or more, nothing linearised, fixed seed", Strength.LIBRARY)
SCIPY = Source("scipy.stats: distributions", Strength.LIBRARY)
SOLVER = Source("scipy.optimize: the equation solved by search", Strength.LIBRARY)
CLDR = Source("Unicode CLDR, through babel", Strength.LIBRARY)
