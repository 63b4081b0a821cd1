"""The children, all invented: one block a team, one child a line: number, mark, name.

A child without a name here goes by number only: the family asked for it.

The mark is what the scale will say, and no weight: `.` ok, `*` over, `+` over until the allowance
of October. No name is a real person's; the scripts and accents are there because leagues have them.
"""

from __future__ import annotations

BLOCKS: dict[str, str] = {
    "newts": """
2 . Pip Thimbleberry
4 . Solveig Blåbærsen
5 * Bruno Wolkenfänger
7 . Maeve O'Dandelow
9 . Tomasz Żołędziak
10 . Inés Nubesol
12 + Otto Gooseblanket
14 . Aiko Mizutamarino
17 . Zuzu Fernwhistle
20 . Kofi Windlantern
21 . Lotte Löffelgrün
23 . Anaïs Chouquette
25 * Gus Marblewick
28 . Priya Taraphool
31 . Emre Yıldızçay
33 . Nia Kettlefern
36 . Benedikt Pusteblum
40 . Wren Inkwillow
44 + Dov Tapuachon
52 . Léonie de la Brume-Légère
55 * Huck Waddlecombe
61 . Mirela Fluturașcu
""",
    "marmots": """
1 . Ada Snickerdew
3 . Jory Pepperfold
5 . Linh Mâytrắng
8 . Casimir Mgiełkowiak
11 * Hal Crumpetstone
13 . Yara Luzdeluna
15 . Finn Lingonstråle
16 . Beatrix Applewhistle
18 + Nico Ranocchielli
19 . Ottilie Mondkäfer
22 . Sana al-Ghaymazhar
24 . Tove Snøfnugg
26 . Ezra Larkspoon
27 * Mateo Lunafaro
30 . Clementine Eggleplum
32 . Juno Raincobble
34 . Dylan ap Llygad-y-Dydd
37 . Vida Csillagfű
39 . Percy Quillfeather
42 + Amara Ìràwọ̀lá
45 . Rosalind Nutmegson
48 . Teo Solzinho
50 * Barnaby Oatenbright
58 . Maximiliana-Theodosia Wolkenfänger-Unterdemregenbogen
""",
    "quokkas": """
3 . Ivo Vločkař
6 . Peregrine Yarrowby
7 . Noor Hilalbustan
9 . Svea Måneskog
12 * Rufus Jamberly
14 . Fiadh Nic Sméarcailín
15 . Caspian Tanglebrook
18 . Mei Yunduo-Hill
21 . Odalys Nieveclara
22 +
24 . Hattie Velvetoak
27 . Luca Stellacqua
29 . Kezia Umberfinch
33 . Ξένια Φεγγαρόσπορου
35 * Magnus Kråkvinge
38 . Poppy Hollyhatch
41 . Ismael Charcoalegre
46 . Zofia Świerszczyk
50 . Teddy Bramblecote
54 . Ulla Tåkedal
""",
    "dormice": """
2 . Nell Cobblewren
6 . Arlo Fleurdepain
8 * Tilda Thistlequill
10 . Marek Ślimaczek
11 . Saoirse O'Puddlewort
13 . Jun Hanabatakeno
17 . Esme Ladybirdson
18 . Tilly Thistlequill
19 . Quentin Beaulézard
23 . Rania Zaytunfarah
26 + Gideon Plumbucket
28 . Freya Nebelzahn
31 . Omri Tapuzon
34 . Мира Туманчикова
37 . Ingrid Snøbærdal
43 * Walter Doublecrumb
47 . Celeste Pommeclair
51 . Ambrose Featherloaf
""",
    "pangolins": """
1 . Viggo Regndråpe
4 . Lavinia Bellowsby
7 . Théo Girolledor
10 * Augustus Barrelmoss
12 . Sunniva Hvitveiset
16 . Rocco Pastafiore
20 . Delphine L'Escargotin
22 . Hiro Kumonoue
25 . Marguerite Teacozy
27 + Iker Peñazul
29 . Yusuf Bulutçiçek
32 . Agnes Wickerby-Toadstool
35 . Lubomir Žabička
38 . Harriet Moonspindle
41 . Ngaio Pōhatunui
44 * Klaus Pfefferwolke
47 . Winnie Buttonmarsh
50 . Ansel Honeythatch
53 * Gregor Mchowiński
56 . Pilar Ríoverde-Chispa
60 . Tad Lanternwick
63 + Mirko Zvezdojed
66 . Sidsel Kløverblad
70 . Ora Figwhistle
74 . Cosmo Drizzleby
77 . みずたま ほしの
""",
    "snapdragons": """
2 . Odin Mosekonge
5 . Lettice Candlemoth
8 . Rafał Jagódczyk
9 . Bettina Sauerkleeblatt
13 * Dunstan Anvilpetal
15 . Chiara Nuvoletti-Blu
17 . Simcha Dvashilev
19 . Posy Gatewhistle
21 + Florian Himbeerstein
23 . Amélie Trèflebois
26 . Kwame Cloudladder
28 . Greta Hasenglöckel
30 . Rufina Mariposal
33 . Ned Radishbell
36 * Ivar Granåsbjørn
39 . Lilias Spoonbramble
42 . Đorđe Oblačić
45 . Sabela Choivadoce
49 . Alby Wobblegate
55 * Horace Picklestone
57 . Tuuli Lumihiutale
62 + Benno Apfelkuss
65 . Maren Skyggeløv
""",
    "wombats": """
4 . Cyrus Anarbagh
6 . Merry Thicketson
11 . Gaspard Nuagefort
14 * Oskar Hammerdaisy
16 . Zelma Crinklewood
18 . Yuki Tanpopoda
20 . Ludo Ferrywhistle
24 . Nayeli Floridelluvia
25 . Per Gullspurv
28 + Angus MacThimble
31 . Dorothea Saltmarigold
34 . Jiří Mlžounek
37 . Saskia van der Paddenstoel
40 . Elio Grillosereno
43 * Bertrand Grosbouton
48 . Tamsin Peatlark
52 . Rhys ap Cwmwlgwyn
56 . Олена Барвінколист
64 . Wilf Sundialer
68 * Hugo Kieselstern
72 . Ceri Bluebellows
""",
    "capybaras": """
3 . Alma Rugiadoso
5 . Thor Sildesky
7 . Ione Featherstitch
10 . Basil Umbrellaby
12 * Gunnar Steinkløver
13 . Estela Cascabelina
17 . Milo Cricketlamp
19 . Nadia Qamarwarda
22 . Hester Willowbarrow-Finch
26 . Paweł Szyszkożuk
28 . Roscoe Tumblethatch
30 + Ulrich Sternmoos
33 . Bibi Lapluiedor
36 . Eun Byeolnamu
39 * Fergus McGorsebloom
42 . Carmela Tramontosa
46 . Dag Fjellfiol
49 . Zinnia Parasolski
51 . Ravi Jugnupatti
54 . Hob Kindlewick
59 + Anouk Renardpluie
61 . Silas Puddingstone
67 * Wolfgang Taubenkorn
69 . Effie Larchbell
73 . Kaʻimi Nalupua
""",
}

WITHOUT_A_TEAM = ("Juniper Raincobble", "Bastian Kettlefern")
ENTERED_LATER = "Olive Marmaladze"
