"""What the sample letters say, in both languages."""

from __future__ import annotations

from dataclasses import dataclass

from evaluations.core.letter import Fact


@dataclass(frozen=True)
class Phrases:
    """Every text of a sample letter in one language."""

    title: str
    association: str
    facts: tuple[Fact, ...]
    talk: str
    headings: dict[str, str]
    summary: str
    strength: str
    mark: str
    seen: str
    parts: tuple[str, str, str, str, str]
    gain: str
    quote: str
    where: str
    quotes_note: str
    total: str
    total_note: str
    no_total: str
    season: str
    columns: tuple[str, str, str, str]
    areas: tuple[str, ...]
    share: str
    levels: tuple[str, str, str, str, str]
    not_seen: str
    bar_alt: str
    closing: tuple[Fact, ...]
    was_seen: str
    key: str
    respond: str
    paragraph: str
    cautions: tuple[str, str, str, str, str]
    verify: str
    code_alt: str
    footer: str
    page_label: str
    annex_heading: str
    answer_heading: str
    answer: str
    outcome: str
    decimal: str
    counted: str
    not_enough: str
    sampled: str
    counts_note: str
    caption: str
    movement_alt: str
    sketch_caption: str
    sketch_alt: str
    you: str
    band_caption: str
    band_alt: str
    whistle: str
    reported: str
    table: str

    def number(self, figure: float) -> str:
        return f"{figure:.1f}".replace(".", self.decimal)


ENGLISH = Phrases(
    title="Observation letter, 12 November 2026",
    association="Harbour Basketball Officials’ Association",
    facts=(
        Fact("Game", "Herons – Millstone, varsity"),
        Fact("Played", "10 November 2026, Harbour Gym"),
        Fact("Your place", "referee in a crew of two"),
        Fact("Observer", "Wren Adeyemi"),
        Fact("Seen", "whole game, demanding"),
        Fact("Rubric", "2026–27, edition 1, Two-person mechanics, edition 3"),
        Fact("Issued", "12 November 2026"),
    ),
    talk="You and the observer talked after the game.",
    headings={
        "summary": "In short",
        "went_well": "What went well",
        "next_steps": "Next steps",
        "evidence": "What was seen",
        "form": "The form",
        "respond": "How to respond",
        "verify": "Is this copy genuine?",
    },
    summary=(
        "Your reports were still and readable all evening, and the table never asked twice. The "
        "next gain lies in the seconds after the call: facing the players while your partner "
        "reports."
    ),
    strength="Dead ball 3, Q1 5:12: both feet down, one breath, then the number, clearly.",
    mark="not raised that night",
    seen="Dead ball 9, Q2 3:12: you turned to fetch the ball while players were still close.",
    parts=("Seen", "Standard", "Why", "Try this", "How we will check"),
    gain="worth up to 6.5 points",
    quote=(
        "You stayed on the far side of the group and let them pass before you moved; the two who "
        "had words saw you the whole time."
    ),
    where="dead ball 14",
    quotes_note="Longer comments stand on the letter’s page and in its annex.",
    total="68 of 100, dependable",
    total_note="One level on one criterion moves the total by up to 2.5 points.",
    no_total=(
        "A new official’s first two observations are coaching: there is no total and no standing."
    ),
    season=(
        "Your season so far: 64.5, give or take 7.2 (95 % t interval of the mean of 4 scored "
        "observations). Uncorrected: differences between observers are still in it."
    ),
    columns=("Criterion", "Level", "Points", "Room to gain"),
    areas=("Foul reporting", "Switching", "Boxing-in coverage", "Signals", "Game management"),
    share="25 % of the form",
    levels=("seldom", "at times", "usually", "nearly always", "every time"),
    not_seen="not seen",
    bar_alt="%(area)s: %(value)s of 100 in this game, 60 over your season",
    closing=(
        Fact("Points", "71.0"),
        Fact("Ceiling: Faces the players while a partner reports", "−3.0"),
        Fact("Total", "68.0"),
    ),
    was_seen="92 % of the form could be seen and counts.",
    key=(
        "Points are what a criterion added to the total, room to gain what it could still add. "
        "Bars: this game; the small upright line is your own season."
    ),
    respond=(
        "On the letter’s page, until 26 November 2026: say that you have read it (this isn’t "
        "agreement), mark any line with “this is not what happened” and say why, or ask once, "
        "within 7 days, for a review by another observer. No answer is recorded as “not answered”, "
        "never as agreement."
    ),
    paragraph=(
        "The association’s training night is on the first Tuesday of each month at the Harbour "
        "Gym; bring a whistle. Anybody may come, and clips of your own games are welcome."
    ),
    cautions=(
        "This letter is not discipline, and one game is one game.",
        "The association’s adopted rules and mechanics manual prevail over anything in it.",
        "It speaks of your work only; players appear by jersey colour only.",
        "Nothing is decided by a score alone.",
        "What was not seen counts neither for nor against you.",
    ),
    verify="The address says whether this copy is genuine and current, and no more.",
    code_alt="Square code that leads to the page which checks this letter’s code.",
    footer="Letter 7KQM-2XNV-94TD · confidential",
    page_label="Page %(page)s of %(pages)s",
    annex_heading="Annex: all comments, and your answer",
    answer_heading="Your answer",
    answer="At dead ball 9 the table had handed me the ball; I did not turn to fetch it.",
    outcome="Corrected from film on 20 November 2026: the line was removed.",
    decimal=".",
    counted="Counted",
    not_enough="not enough seen",
    sampled="%(met)s of %(judged)s, %(low)s–%(high)s %%",
    counts_note=(
        "Counted: met of those judged, by the dead-ball log (one duty a quarter; from memory; "
        "Two-person: trail opposite the table for free throws, edition 12; dead balls: 28). Not "
        "judged and not counted: 114. A sample, so with its 95 % interval. Not enough seen: fewer "
        "than 5 judged. In full, with dead balls, on the letter’s page and in its annex."
    ),
    caption=(
        "Dead ball 28, period 4, 10:00, shooting or bonus foul. You were trail, opposite the table "
        "(ring). The code sends you to lead, opposite the table (square), a long switch. You "
        "stayed trail, opposite the table (dot). That is an option which the code allows."
    ),
    movement_alt=(
        "Your movement on a court. You were trail, opposite the table (ring). The code sends you "
        "to lead, opposite the table (square), a long switch."
    ),
    sketch_caption=(
        "Dead ball 28, period 4, 10:00, shooting or bonus foul. While your partner reported, your "
        "view (broken lines) held 7 of 10 players; out of it (crossed): 3. Observer’s drawing, not "
        "to scale."
    ),
    sketch_alt=(
        "You among the players on a court. While your partner reported, your view (broken lines) "
        "held 7 of 10 players; out of it (crossed): 3. Observer’s drawing, not to scale."
    ),
    you="you",
    band_caption=(
        "Dead ball 28, period 4, 10:00, shooting or bonus foul. Until your partner’s report ended, "
        "from film: you faced the players (bar) for 10.4 s, did not (line) for 12.5 s, "
        "can’t tell (blank) for 10.1 s. The longest gap was 12.5 s, from 10.4 s on."
    ),
    band_alt=(
        "A band from the whistle to the end of the report. You faced the players (bar) for "
        "10.4 s, did not (line) for 12.5 s, can’t tell (blank) for 10.1 s."
    ),
    whistle="whistle",
    reported="report over",
    table="table",
)

SPANISH = Phrases(
    title="Carta de observación, 12 de noviembre de 2026",
    association="Asociación de Árbitros de Baloncesto de la Bahía",
    facts=(
        Fact("Partido", "Garzas – Molino, categoría absoluta"),
        Fact("Jugado", "10 de noviembre de 2026, Pabellón de la Bahía"),
        Fact("Su puesto", "árbitro principal en un equipo de dos"),
        Fact("Observadora", "Begoña Ibáñez Núñez"),
        Fact("Visto", "partido completo, exigente"),
        Fact("Rúbrica", "2026–27, edición 1, Mecánica de dos árbitros, edición 3"),
        Fact("Emitida", "12 de noviembre de 2026"),
    ),
    talk="Usted y la observadora hablaron después del partido.",
    headings={
        "summary": "En resumen",
        "went_well": "Lo que salió bien",
        "next_steps": "Próximos pasos",
        "evidence": "Lo que se vio",
        "form": "El formulario",
        "respond": "Cómo responder",
        "verify": "¿Es auténtica esta copia?",
    },
    summary=(
        "Sus comunicaciones fueron tranquilas y legibles toda la noche, y la mesa no tuvo que "
        "preguntar dos veces. La próxima mejora está en los segundos después de pitar: de cara a "
        "los jugadores mientras comunica su compañero."
    ),
    strength="Balón muerto 3, C1 5:12: los dos pies quietos, una respiración y después el número.",
    mark="no se habló esa noche",
    seen="Balón muerto 9, C2 3:12: se giró a buscar el balón con jugadores aún cerca.",
    parts=("Visto", "Norma", "Por qué", "Pruebe esto", "Cómo lo comprobaremos"),
    gain="hasta 6,5 puntos más",
    quote=(
        "Se quedó al otro lado del grupo y los dejó pasar antes de moverse; los dos que discutían "
        "lo tuvieron delante todo el tiempo."
    ),
    where="balón muerto 14",
    quotes_note="Los comentarios más largos están en la página de la carta y en su anexo.",
    total="68 de 100, fiable",
    total_note="Un nivel en un criterio mueve el total hasta 2,5 puntos.",
    no_total=(
        "Las dos primeras observaciones de un árbitro nuevo son formativas: no hay total ni "
        "clasificación."
    ),
    season=(
        "Su temporada hasta ahora: 64,5, con un margen de 7,2 (intervalo t del 95 % de la media de "
        "4 observaciones puntuadas). Sin corregir: aún contiene diferencias entre observadores."
    ),
    columns=("Criterio", "Nivel", "Puntos", "Por ganar"),
    areas=(
        "Comunicación de faltas",
        "Cambios de posición",
        "Cobertura encajonada",
        "Señales",
        "Gestión del partido",
    ),
    share="25 % del formulario",
    levels=("rara vez", "a veces", "por lo general", "casi siempre", "todas las veces"),
    not_seen="no observado",
    bar_alt="%(area)s: %(value)s de 100 en este partido, 60 en su temporada",
    closing=(
        Fact("Puntos", "71,0"),
        Fact("Tope: De cara a los jugadores mientras se comunica la falta", "−3,0"),
        Fact("Total", "68,0"),
    ),
    was_seen="Se pudo ver y cuenta el 92 % del formulario.",
    key=(
        "Los puntos son lo que un criterio sumó al total; por ganar, lo que aún podría sumar. "
        "Barras: este partido; la pequeña línea vertical es su propia temporada."
    ),
    respond=(
        "En la página de la carta, hasta el 26 de noviembre de 2026: diga que la ha leído (no es "
        "estar de acuerdo), marque cualquier línea con «esto no es lo que pasó» y diga por qué, o "
        "pida una vez, en 7 días, una revisión de otro observador. Si no hay respuesta consta «sin "
        "respuesta», nunca como acuerdo."
    ),
    paragraph=(
        "La noche de formación de la asociación es el primer martes de cada mes en el Pabellón de "
        "la Bahía; traiga un silbato. Puede venir cualquiera, también con vídeos propios."
    ),
    cautions=(
        "Esta carta no es disciplina, y un partido es un partido.",
        "El reglamento y el manual de mecánica adoptados por la asociación prevalecen sobre ella.",
        "Habla solo de su trabajo; los jugadores aparecen solo por el color de la camiseta.",
        "Nada se decide solo por una puntuación.",
        "Lo que no se vio no cuenta ni a favor ni en contra.",
    ),
    verify="La dirección dice si esta copia es auténtica y está vigente, y nada más.",
    code_alt="Código cuadrado que lleva a la página que comprueba el código de esta carta.",
    footer="Carta 7KQM-2XNV-94TD · confidencial",
    page_label="Página %(page)s de %(pages)s",
    annex_heading="Anexo: todos los comentarios y su respuesta",
    answer_heading="Su respuesta",
    answer="En el balón muerto 9 la mesa me había dado el balón; no me giré a buscarlo.",
    outcome="Corregido con el vídeo el 20 de noviembre de 2026: la línea se eliminó.",
    decimal=",",
    counted="Contado",
    not_enough="se vio muy poco",
    sampled="%(met)s de %(judged)s, %(low)s–%(high)s %%",
    counts_note=(
        "Contado: lo cumplido de lo valorado, según el registro de balones muertos (una tarea por "
        "cuarto; de memoria; Dos árbitros: cola enfrente de la mesa en tiros libres, edición 12; "
        "balones muertos: 28). Sin valorar y sin contar: 114. Es una muestra; por eso lleva su "
        "intervalo del 95 %. Se vio muy poco: menos de 5 valorados. Completo, con los balones "
        "muertos, en la página de la carta y en su anexo."
    ),
    caption=(
        "Balón muerto 28, período 4, 10:00, falta en tiro o con penalización. Usted estaba de "
        "cola, enfrente de la mesa (anillo). El código le manda a la cabeza, enfrente de la mesa "
        "(cuadrado), un cambio largo. Se quedó de cola, enfrente de la mesa (punto). Es una opción "
        "que el código permite."
    ),
    movement_alt=(
        "Su movimiento en una pista. Usted estaba de cola, enfrente de la mesa (anillo). El código "
        "le manda a la cabeza, enfrente de la mesa (cuadrado), un cambio largo."
    ),
    sketch_caption=(
        "Balón muerto 28, período 4, 10:00, falta de tiro o en bonus. Mientras su compañero "
        "comunicaba, su campo de visión (líneas discontinuas) abarcaba a 7 de 10 jugadores; fuera "
        "(con cruz): 3. Dibujo del observador, no a escala."
    ),
    sketch_alt=(
        "Usted entre los jugadores en una pista. Mientras su compañero comunicaba, su campo de "
        "visión (líneas discontinuas) abarcaba a 7 de 10 jugadores; fuera (con cruz): 3. Dibujo "
        "del observador, no a escala."
    ),
    you="usted",
    band_caption=(
        "Balón muerto 28, período 4, 10:00, falta de tiro o en bonus. Hasta el fin de la "
        "comunicación de su compañero, según el vídeo: de cara a los jugadores (barra): 10,4 s; "
        "no de cara (línea): 12,5 s; no se puede decir (en blanco): 10,1 s. El hueco más largo fue "
        "de 12,5 s, desde los 10,4 s."
    ),
    band_alt=(
        "Una banda desde el pitido hasta el fin de la comunicación. De cara a los jugadores "
        "(barra): 10,4 s; no de cara (línea): 12,5 s; no se puede decir (en blanco): 10,1 s."
    ),
    whistle="pitido",
    reported="fin de la comunicación",
    table="mesa",
)
