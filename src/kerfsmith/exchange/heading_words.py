"""The words people put over the columns of cut lists and rack lists, in four languages.

Each field has ``sure`` words, which mean it and nothing else, and ``likely`` words, which mean it where no
other column claims it. Words are in the folded form of :func:`fold`: lower case, no accents, no marks.
"""

import re
import unicodedata
from dataclasses import dataclass
from functools import lru_cache


@dataclass(frozen=True, slots=True)
class FieldWords:
    """The words for one field, separated by ``|`` in the tables below."""

    field: str
    sure: frozenset[str]
    likely: frozenset[str]
    required: bool


def _words(field: str, sure: str, likely: str = "", *, required: bool = False) -> FieldWords:
    return FieldWords(field, frozenset(sure.split("|")), frozenset(filter(None, likely.split("|"))), required)


@lru_cache(maxsize=4096)
def fold(heading: str) -> str:
    """``Länge [mm]`` as ``lange mm``: lower case, accents off, marks other than ± % # + a blank."""
    bare = unicodedata.normalize("NFKD", heading.replace("ß", "ss"))
    bare = "".join(character for character in bare if not unicodedata.combining(character)).lower()
    bare = re.sub(r"\+ ?/ ?-", "±", bare)
    bare = re.sub(r"(?<!^)-(?=\w)", " ", bare.strip())
    bare = re.sub(r"(?<=\w)([+±-])$", r" \1", bare)
    return " ".join(re.sub(r"[^\w±%#+€$£\"-]|_", " ", bare).split())


_GRADE = _words(
    "grade",
    "grade|steel grade|material grade|mat grade"
    "|mat l grade|steel|alloy|quality|material quality|grade of steel"
    "|matl grade|gute|werkstoff|stahlsorte|stahlgute|materialgute|werkstoffnr|nuance|acier|nuance acier"
    "|calidad|acero|grado|tipo de acero",
    "material|mat|matl|mat l|spec|specification|matiere|type",
    required=True,
)
_SECTION = _words(
    "section",
    "section|sections|profile|section size|profile size|bar section|material size|profil|querschnitt"
    "|halbzeug|profilbezeichnung|seccion|perfil|profile name|cross section",
    "description|desc|dimensions|dimension|dim|dims|abmessung|abmessungen|bezeichnung|material description"
    "|stock|stock size|designation|medidas",
    required=True,
)
_SPLIT_SECTION = (
    _words("shape", "shape|form|section shape|section type|profile type|forme|forma|querschnittsform"),
    _words("size", "size|nps|nominal size|nominal|dn|nennweite|taille|tamano"),
    _words("diameter", "diameter|dia|diam|od|outside diameter|durchmesser|diametre|diametro|ø|d|o d"),
    _words("width", "width|wide|w|breite|b|largeur|ancho|flange width"),
    _words("height", "height|depth|h|hohe|hoehe|hauteur|alto|altura"),
    _words("thickness", "thickness|thick|thk|t|dicke|starke|staerke|epaisseur|ep|espesor|esp"),
    _words("wall", "wall|wall thickness|wt|wandstarke|wanddicke|wand|pared|paroi"),
    _words("schedule", "schedule|sch|sched"),
)
_LENGTH = (
    "length|lengths|len|lg|lgth|lng|l|lange|laenge|longueur|long|longitud|largo|total length|overall length"
)
_QUANTITY = (
    "qty|quantity|quan|quant|pcs|pieces|count|no off|number off|off|no of|no of pieces|number of pieces"
    "|no pcs|qty req|qty reqd|qty required|req d|reqd|stuck|stueck|stk|st|stuckzahl|anzahl|menge|quantite"
    "|qte|nombre|nb|cantidad|cant|unidades|piezas|pzas|pz|uds"
)
_NOTES = _words(
    "notes",
    "notes|note|remark|remarks|comment|comments|bemerkung|bemerkungen|hinweis|anmerkung|remarque|remarques"
    "|observaciones|notas|nota|obs",
)
_UNIT = _words("unit", "unit|units|uom|unit of measure|einheit|me|unite|unites|unidad|length unit|len unit")

ORDER_FIELDS: tuple[FieldWords, ...] = (
    _words(
        "mark",
        "mark|piece mark|part mark|mk|part|part no|part number|part nr|part id|piece no|piece id"
        "|piece number|pos|pos nr|position|teil|teilenummer|teilnr|teil nr|bauteil|repere|marque|marca"
        "|pieza|cut id",
        "item|item no|item number|piece|id|tag|ref|reference|no|nr|name|line|#",
    ),
    _words(
        "order",
        "order|order no|order number|order nr|job|job no|job number|work order|wo|po|po number|po no"
        "|sales order|so|auftrag|auftragsnummer|auftragsnr|auftrag nr|commande|pedido|orden|project"
        "|projekt|proyecto",
    ),
    _words("customer", "customer|client|cust|customer name|kunde|kundenname|cliente"),
    _GRADE,
    _SECTION,
    *_SPLIT_SECTION,
    _words(
        "length",
        _LENGTH + "|cut length|cut len|cutlength|cut lg|cut to|saw length|finished length|finish length"
        "|piece length|part length|zuschnittlange|schnittlange|sagelange|fertiglange|long coupe"
        "|longueur de coupe|longueur coupe|longitud de corte|largo de corte",
        "cut|zuschnitt",
        required=True,
    ),
    _words("quantity", _QUANTITY, "no|nr|number|total|ea|each|n|x|required", required=True),
    _words(
        "tolerance",
        "tolerance|tol|length tolerance|len tol|length tol|±|± tol|tol ±|tolerance ±|toleranz"
        "|langentoleranz|tolerancia",
    ),
    _words(
        "tolerance_plus",
        "tol plus|tol +|+tol|+ tol|tolerance plus|tolerance +|plus tol|plus|upper tol|tol upper",
    ),
    _words(
        "tolerance_minus",
        "tol minus|tol -|-tol|tolerance minus|tolerance -|minus tol|minus|lower tol|tol lower",
    ),
    _words(
        "due",
        "due|due date|delivery|delivery date|need by|needed by|needed|required by|date required|ship date"
        "|ship by|wanted|termin|liefertermin|lieferdatum|fallig|falligkeit|bedarfsdatum|date de livraison"
        "|livraison|delai|echeance|fecha de entrega|fecha entrega|entrega|plazo|promise date",
        "date|datum|fecha",
    ),
    _words(
        "angle_a",
        "angle a|angle 1|angle left|left angle|start angle|angle start|a1|end a|end 1|end angle a"
        "|end angle 1|winkel a|winkel 1|winkel links|angle gauche|angle debut|angulo a|angulo 1|angulo izq"
        "|mitre a|mitre 1|mitre left|miter a|miter 1|miter left|gehrung 1|gehrung links",
    ),
    _words(
        "angle_b",
        "angle b|angle 2|angle right|right angle|finish angle|angle end|end angle|a2|end b|end 2"
        "|end angle b|end angle 2|winkel b|winkel 2|winkel rechts|angle droit|angle fin|angulo b|angulo 2"
        "|angulo der|mitre b|mitre 2|mitre right|miter b|miter 2|miter right|gehrung 2|gehrung rechts",
    ),
    _words(
        "angles", "angles|end angles|mitre|miter|mitres|miters|gehrung|winkel|angulos|ends", "angle|angulo"
    ),
    _words("lie", "lie|lies|lying|lay|laid|in the vise"),
    _words(
        "or_grade",
        "or grade|or grades|alternative grade|alternative grades|alt grade|substitute grade|other grade"
        "|ersatzgute|ersatzwerkstoff|alternativwerkstoff|nuance alternative|acier alternatif"
        "|grado alternativo|calidad alternativa",
    ),
    _words(
        "or_section",
        "or section|or sections|alternative section|alternative sections|alt section|substitute section"
        "|other section|ersatzquerschnitt|ersatzprofil|alternativprofil|profil alternatif"
        "|section alternative|seccion alternativa|perfil alternativo",
    ),
    _NOTES,
    _UNIT,
)

RACK_FIELDS: tuple[FieldWords, ...] = (
    _words(
        "id",
        "id|bar id|bar no|bar number|label|tag|stock id|stock no|etikett|etiquette|etiqueta|code",
        "no|nr|#",
    ),
    _GRADE,
    _SECTION,
    *_SPLIT_SECTION,
    _words(
        "length", _LENGTH + "|bar length|stock length|stangenlange|barrenlange|longueur barre", required=True
    ),
    _words(
        "count",
        _QUANTITY
        + "|bars|on hand|in stock|bestand|vorrat|en stock|existencias|stangen|barres|barras|available",
        "stock|no|number|total|ea|each|n",
        required=True,
    ),
    _words(
        "heat",
        "heat|heat no|heat number|heat nr|cast|cast no|melt|charge|chargennummer|chargennr|schmelze"
        "|schmelznummer|coulee|no coulee|colada",
        "lot|batch|lot no",
    ),
    _words(
        "place",
        "place|location|loc|rack|bay|bin|shelf|slot|lagerplatz|lagerort|platz|fach|emplacement|ubicacion"
        "|estante|lugar",
    ),
    _words(
        "price",
        "price|price each|price ea|cost|unit price|unit cost|preis|stuckpreis|prix|precio|coste"
        "|€|$|£|eur|usd|gbp",
        "value|wert",
    ),
    _words("currency", "currency|wahrung|waehrung|devise|moneda|divisa"),
    _words("kind", "kind|bar or remnant|remnant|art|genre|clase", "type"),
    _words(
        "far_end",
        "far end|back end|tail end|end in the vise|hinteres ende|stangenende|bout arriere|extremo posterior",
        "end|ende|bout|extremo",
    ),
    _NOTES,
    _UNIT,
)

TOTAL_WORDS = re.compile(
    r"(?:grand |sub ?|over ?all )?totals?(?: (?:pieces|pcs|weight|length|qty|quantity))?"
    r"|sum|sums|summe|gesamt(?:summe)?|zwischensumme|sous ?total|totaux|total general|somme|suma|subtotales",
)
